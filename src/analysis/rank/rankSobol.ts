/**
 * Variance-based ranking: which share of the variance of success, and of sink speed, each input or group brings alone
 * and in all, from a pick-freeze design of flights. What happens in flight by chance is one more input, so that the
 * shares account for everything. Prints nothing.
 */

import { UserError } from '../../errors.ts';
import { flying, type Session } from '../../fleet/session.ts';
import { flightsOf, type Work } from '../../fleet/work.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import type { SamplerPlan } from '../../sampling/sampler.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import { collectFlights } from '../flights/collectFlights.ts';
import { column, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, keeping, refuseInParts } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import type { Look, OutputShares, SobolRanking } from './ranking.ts';
import { rankingFiles } from './rankingFiles.ts';
import { groupSubjects, inputSubjects, joinCorrelated, type Subject } from './rankSubjects.ts';
import { type BlockOutputs, sharesOf } from './sobolShares.ts';

const SIZE = 1024;
const LEAST_SIZE = 256;
/** Looks: at an eighth, a quarter, a half and all of the size. */
const PARTS = [8, 4, 2, 1] as const;
/** Fewest flights of either kind for the shares to be called steady. */
const STEADY_EACH = 50;

export interface RankSobolOptions extends FlyingOptions {
  readonly rule?: string;
  /** Rows of the design, a power of two; 1,024 when left out. */
  readonly size?: number;
  readonly by?: 'group' | 'input';
  readonly groups?: readonly string[];
  /** Pairs too: twice the flights. */
  readonly pairs?: boolean;
  /** Stop at the first look at which one stands before all others by its total share of success. */
  readonly untilSeparated?: boolean;
}

export interface RankedSobol extends Finished {
  readonly ranking: SobolRanking;
}

/** @throws UserError when the size, rule or groups do not fit, or the folder cannot take results */
export async function rankSobol(opened: OpenedStudy, options: RankSobolOptions = {}): Promise<RankedSobol> {
  const { study } = opened;
  if (study.sample !== null) {
    throw new UserError(
      'inputs.sample: what stays is drawn jointly from what was learnt, and shares of variance need inputs drawn on their own; rank without --sobol',
    );
  }
  refuseInParts(options, '--until-separated', options.untilSeparated ?? false, 'give the whole --size');
  const rule = ruleByName(study, options.rule).name;
  const size = checkedSize(options.size ?? SIZE);
  const by = options.by ?? 'group';
  const own = groupSubjects(study, options.groups ?? []);
  const grouped = own.filter(({ name }) => (options.groups ?? []).some((text) => text.slice(0, text.indexOf('=')).trim() === name));
  const taken = new Set<string>(grouped.flatMap(({ keys }) => keys));
  const plain = by === 'group' ? own : [...grouped, ...inputSubjects(study).filter(({ name }) => !taken.has(name))];
  const { subjects: drawn, notes } = joinCorrelated(study, plain);
  const noise: Subject = { name: 'in-flight noise', kind: 'noise', keys: [] };
  const subjects = [...drawn, noise];
  const blocks = planBlocks(subjects, size, options.pairs ?? false);
  return keeping(options, { command: 'rank --sobol', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      session.announce(size * blocks.length);
      const works = blocks.map(({ name, plan }) => flightsOf(study, { rule, plan }, name));
      const flown: BlockOutputs[] = blocks.map(() => ({ success: new Float64Array(size), sink: new Float64Array(size) }));
      const looks: Look[] = [];
      let stoppedBy: SobolRanking['stoppedBy'] = 'limit';
      let rows = 0;
      for (const part of PARTS) {
        const next = size / part;
        if (!(await flyStretch(session, works, flown, rows, next))) {
          stoppedBy = 'interrupted';
          break;
        }
        rows = next;
        const share = (key: keyof BlockOutputs): OutputShares | null =>
          sharesOf(flown, subjects, rows, key, options.pairs ?? false, `${study.seed}/rank/${key}`);
        const look: Look = { size: rows, success: share('success'), sink: share('sink') };
        looks.push(look);
        if (options.untilSeparated && rows < size && separated(look.success)) {
          stoppedBy = 'separated';
          break;
        }
      }
      const noResult = flown.reduce((sum, { success }) => sum + success.subarray(0, rows).filter((value) => Number.isNaN(value)).length, 0);
      const ranking: SobolRanking = {
        ...studyFacts(opened, options.overrides ?? []),
        kind: 'sobol',
        rule,
        by,
        size,
        flights: rows * blocks.length,
        noResult,
        stoppedBy,
        looks,
        cautions: [...notes, ...cautionsOf(looks.at(-1))],
        lost: session.lost,
      };
      const run = session.facts();
      return { ranking, run, folder: keeper.finish(await rankingFiles(ranking), opened.text, run, stoppedBy !== 'interrupted') };
    }),
  );
}

function checkedSize(size: number): number {
  if (!Number.isSafeInteger(size) || size < LEAST_SIZE || (size & (size - 1)) !== 0 || size > 2 ** 24) {
    throw new UserError(`--size: read ${size}; expected a power of two of at least ${LEAST_SIZE}, for example 1024`);
  }
  return size;
}

export interface Block {
  readonly name: string;
  readonly plan: SamplerPlan;
}

/** A, B, then A with each subject from B; for pairs also B with each from A. */
export function planBlocks(subjects: readonly Subject[], size: number, pairs: boolean): Block[] {
  const every = subjects.flatMap(({ keys }) => keys);
  const block = (name: string, fromB: readonly InputKey[], noiseFromB: boolean): Block => {
    return { name, plan: { kind: 'pickFreeze', size, fromB, noiseFromB } };
  };
  const exchanged = subjects.map((s) => block(`A with ${s.name} of B`, s.keys, s.kind === 'noise'));
  const back = subjects.map((s) =>
    block(
      `B with ${s.name} of A`,
      every.filter((key) => !s.keys.includes(key)),
      s.kind !== 'noise',
    ),
  );
  return [block('A', [], false), block('B', every, true), ...exchanged, ...(pairs ? back : [])];
}

async function flyStretch(
  session: Session,
  works: readonly Work[],
  flown: readonly BlockOutputs[],
  from: number,
  to: number,
): Promise<boolean> {
  const landed = outcomeIndex('landed');
  for (const [b, work] of works.entries()) {
    const collected = await collectFlights(session, work, from + 1, to - from, ['sink']);
    if (collected === null) return false;
    const { flights } = collected;
    const sink = column(flights, 'sink');
    for (let i = 0; i < to - from; i++) {
      const counts = hasResult(flights, i);
      flown[b].success[from + i] = counts ? (flights.outcome[i] === landed ? 1 : 0) : Number.NaN;
      flown[b].sink[from + i] = counts ? sink[i] : Number.NaN;
    }
  }
  return true;
}

/**
 * One subject stands before all others. Called at most three times before the end; places err to caution by Holm's
 * adjustment.
 */
function separated(shares: OutputShares | null): boolean {
  if (shares === null) return false;
  const [leader, next] = shares.subjects;
  return leader.place.worst === 1 && (next === undefined || next.place.best > 1);
}

function cautionsOf(last: Look | undefined): string[] {
  if (last === undefined) return [];
  const cautions: string[] = [];
  const { success, sink } = last;
  if (success === null) {
    cautions.push('success hardly varies in these flights, or too few rows have a result: nothing to share out; go by sink speed');
  } else {
    const rarer = 2 * success.rows * Math.min(success.mean, 1 - success.mean);
    if (rarer < STEADY_EACH) {
      cautions.push(
        `success is near ${success.mean < 0.5 ? '0' : '1'} (${Math.round(rarer)} of ${2 * success.rows} flights differ): its shares are unsteady; go by sink speed`,
      );
    }
  }
  if (sink === null) cautions.push('sink speeds do not vary, or too few rows have one: nothing to share out');
  return cautions;
}
