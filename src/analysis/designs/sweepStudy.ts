/**
 * How does success go with a number of the study? The study flown with each value, same flight numbers and same luck,
 * each retuned first unless asked not to. A value goes into the study as after --set, but that an input which varies
 * keeps its spread and lies about the value (sweptInput.ts), unless it is to be held. Prints
 * nothing.
 */
import { UserError } from '../../errors.ts';
import { flying, type Session } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import { onboardModel } from '../../flight/setup.ts';
import { impulseOf } from '../../maths/thrustCurve.ts';
import { answerTable } from '../../results/answerTable.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { mcnemar, pairedDifference } from '../../statistics/proportions/paired.ts';
import { holm } from '../../statistics/samples/holm.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { impulseFactor, type MotorName } from '../../study/motorFactors.ts';
import { nominalInputs } from '../../study/nominal.ts';
import { openVariant } from '../../study/openVariant.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Motor, Study } from '../../study/study.ts';
import { studyHash } from '../../study/studyHash.ts';
import { BASE } from '../../study/variants.ts';
import { everyTwo } from '../compare/contest.ts';
import { pairOff, pairsIn } from '../compare/rulePair.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { column, countOutcomes, type FlightColumns } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { touchdown } from '../fly/touchdown.ts';
import { heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import { type HeightShift, retune, retuneBudget } from '../shift/retune.ts';
import type { Sweep, SweepPoint } from './sweep.ts';
import { sweepTable } from './sweepTable.ts';
import { everyChoice, readAxis, type SweepAxis, type SweepValue } from './sweepValues.ts';
import { middleOf, placed, spreadAlong } from './sweptInput.ts';

export interface SweepOptions extends FlyingOptions {
  /** One or two, `PATH=LOW..HIGH` or `PATH=A,B,...` (sweepValues.ts). */
  readonly over: readonly string[];
  /** Values of a range; 9 when left out. */
  readonly steps?: number;
  readonly rule?: string;
  readonly variant?: string;
  readonly asProgrammed?: boolean;
  /** Inputs that vary are held at each value, without their spread. */
  readonly hold?: boolean;
  readonly allowOutside?: boolean;
}

export interface Swept extends Finished {
  readonly sweep: Sweep;
}

const STEPS = 9;
/** Points of a sweep: more say less, for all are judged together. */
const MOST_POINTS = 200;
const KEYS = ['sink', 'slide', 'tilt', 'apogee', ...MISS_KEYS] as const;

/** A point flown: what is said of it alone, and its flights for the pairs. */
interface Flown {
  readonly values: readonly SweepValue[];
  readonly opened: OpenedStudy;
  /** Its nominal vehicle. */
  readonly middle: Study;
  readonly retuned: HeightShift | null;
  readonly flights: FlightColumns;
}

/**
 * @param path of the study; `options.overrides` are put in before the values
 * @throws UserError when an axis cannot be read, a value does not fit the study, the rule is unknown, too few flights
 * are asked for to retune, or
 *   the folder cannot take results
 */
export async function sweepStudy(path: string, options: SweepOptions): Promise<Swept> {
  const { overrides = [], allowOutside = false, variant = BASE } = options;
  if (options.over.length < 1 || options.over.length > 2) {
    throw new UserError(`--over: read ${options.over.length}; expected one or two numbers of the study to go over`);
  }
  const read = axesOf(options);
  if (read.length === 2 && read[0].path === read[1].path) throw new UserError(`--over: read ${read[0].path} twice; expected two numbers`);
  const choices = everyChoice(read);
  if (choices.length > MOST_POINTS)
    throw new UserError(`--over: read ${choices.length} points; expected at most ${MOST_POINTS}. Take fewer --steps`);
  const base = (await openVariant(path, variant, { set: overrides, allowOutside })).opened;
  const axes = withSpread(read, base.study, options);
  const studies: OpenedStudy[] = [];
  for (const values of choices) {
    const replacements = values.map((value, a) => {
      const { path: name } = axes[a];
      return { name, value: placed(axes[a], value, base.study), option: `--over ${name}=${value.text}` };
    });
    studies.push((await openVariant(path, variant, { set: overrides, allowOutside, replacements })).opened);
  }
  return sweepOpened(base, studies, options);
}

/** The same of studies that are open. @param studies the base with each choice of values, in order */
export async function sweepOpened(base: OpenedStudy, studies: readonly OpenedStudy[], options: SweepOptions): Promise<Swept> {
  const { overrides = [], variant = BASE, asProgrammed = false } = options;
  const axes = withSpread(axesOf(options), base.study, options);
  const choices = everyChoice(axes);
  const rule = ruleByName(studies[0].study, options.rule).name;
  for (const { study } of studies) ruleByName(study, rule);
  const asked = base.study.flights;
  const unlike = axes.find(({ path: place }) => ['flights', 'seed', 'design'].includes(place));
  if (unlike !== undefined)
    throw new UserError(`--over ${unlike.path}: expected a number of the vehicle or the day: all points fly the same luck`);
  if (!asProgrammed) retuneBudget(asked);
  return keeping(options, { command: 'sweep', studies: [base, ...studies] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      session.announce(asked * choices.length);
      const flown = await flyAll(session, axes, choices, studies, rule, asked, asProgrammed);
      const points = judged(flown);
      const sweep: Sweep = {
        ...studyFacts({ ...base, warnings: [...new Set([base, ...studies].flatMap(({ warnings }) => warnings))] }, overrides),
        axes,
        rule,
        variant,
        asProgrammed,
        flights: asked,
        level: LEVEL,
        bandLevel: bandLevel(flown.length),
        stoppedBy: flown.length < choices.length ? 'interrupted' : 'limit',
        points,
        unfinished: choices.slice(flown.length).map((values) => named(axes, values)),
        lost: session.lost,
      };
      const run = session.facts();
      const { title, studyHash: hash, seed, design } = sweep;
      const table =
        points.length === 0
          ? {}
          : { 'sweep.arrow': await answerTable('sweep', sweepTable(sweep), { title, studyHash: hash, seed, design }) };
      const folder = keeper.finish({ 'sweep.json': sweep, ...table }, base.text, run, sweep.stoppedBy === 'limit');
      return { sweep, run, folder };
    }),
  );
}

function axesOf({ over, steps = STEPS }: SweepOptions): SweepAxis[] {
  return over.map((text) => readAxis(text, steps));
}

/** With how each input that varies spreads along its axis. */
function withSpread(axes: readonly SweepAxis[], study: Study, { hold = false }: SweepOptions): SweepAxis[] {
  return axes.map((axis) => ({ ...axis, spread: spreadAlong(axis, study, hold) }));
}

function named(axes: readonly SweepAxis[], values: readonly SweepValue[]): string {
  return values.map(({ text }, a) => `${axes[a].path}=${text}`).join(', ');
}

/** Until interrupted; only points flown whole. */
async function flyAll(
  session: Session,
  axes: readonly SweepAxis[],
  choices: readonly (readonly SweepValue[])[],
  studies: readonly OpenedStudy[],
  rule: string,
  asked: number,
  asProgrammed: boolean,
): Promise<readonly Flown[]> {
  const flown: Flown[] = [];
  for (const [i, values] of choices.entries()) {
    const retuned = asProgrammed ? null : await retune(session, studies[i], [rule], asked, LEVEL, middleOf(axes, values, studies[i].study));
    if (!asProgrammed && retuned === null) break;
    const opened = retuned?.opened ?? studies[i];
    const work = flightsOf(opened.study, { rule, plan: { kind: 'study', flights: asked } }, values.map(({ text }) => text).join(', '));
    const found = await collectFlights(session, work, 1, asked, KEYS);
    if (found === null) break;
    flown.push({
      values,
      opened,
      middle: middleOf(axes, values, opened.study),
      retuned: retuned?.shifts[0] ?? null,
      flights: found.flights,
    });
  }
  return flown;
}

/** Of each band, so that all hold together. */
function bandLevel(points: number): number {
  return 1 - (1 - LEVEL) / Math.max(1, points);
}

function judged(flown: readonly Flown[]): SweepPoint[] {
  const found = flown.map(({ flights }) => odds(countOutcomes(flights.outcome), LEVEL));
  const pairs = everyTwo(flown.length).map(([i, k]) => {
    const [first, second] = [flown[i].flights.outcome, flown[k].flights.outcome];
    return { i, k, counts: pairOff(first, second, first.length).counts };
  });
  const adjusted = holm(pairs.map(({ counts }) => mcnemar(counts).exact));
  const worse = new Set(
    pairs.flatMap(({ i, k, counts: { firstOnly, secondOnly } }, p) =>
      adjusted[p] > 1 - LEVEL || firstOnly === secondOnly ? [] : [firstOnly < secondOnly ? i : k],
    ),
  );
  const best = found.reduce((top, { share }, i) => ((share ?? -1) > (found[top].share ?? -1) ? i : top), 0);
  return flown.map(({ values, opened, middle, retuned, flights }, i): SweepPoint => {
    const { landed, counted } = found[i];
    const { study } = opened;
    const pair = i === best ? null : pairOff(flights.outcome, flown[best].flights.outcome, flights.outcome.length).counts;
    return {
      values: values.map(({ text }) => text),
      odds: found[i],
      band: counted === 0 ? null : clopperPearson(landed, counted, bandLevel(flown.length)),
      outcomes: countOutcomes(flights.outcome),
      sink: touchdown(flights, study, LEVEL).measures.sink.quantiles,
      impulse: { ascent: impulse(study.ascent, middle, 'ascent'), landing: impulse(study.landing, middle, 'landing') },
      fallEnergy: fallEnergy(study, flights),
      retuned,
      heightMiss: retuned === null ? heightMissOf(middle, LEVEL)(flights) : null,
      toBest: pair === null || pairsIn(pair) === 0 ? null : pairedDifference(pair, LEVEL),
      verdict: i === best ? 'best' : worse.has(i) ? 'worse' : 'alike',
      studyHash: studyHash(opened.text),
    };
  });
}

/** N s, nominal; a factor that the study holds at a value counts, and so does the motor's temperature. */
function impulse(motor: Motor, study: Study, name: MotorName): number {
  return impulseOf(motor.curve.time, motor.curve.thrust) * impulseFactor(motor, name, nominalInputs(study));
}

function fallEnergy(study: Study, flights: FlightColumns): SweepPoint['fallEnergy'] {
  const apogees = sorted(column(flights, 'apogee').filter(Number.isFinite));
  const interval = apogees.length === 0 ? null : quantileInterval(apogees, 0.5, LEVEL);
  if (interval === null) return null;
  const { mass, gravity } = onboardModel(study);
  const weight = mass * gravity;
  return { value: weight * quantile(apogees, 0.5), interval: [weight * interval[0], weight * interval[1]] };
}
