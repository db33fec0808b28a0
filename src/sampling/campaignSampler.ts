/**
 * The input vector of any attempt of any campaign, alone, anywhere: what an input keeps is drawn from streams of its
 * level, so that the same vehicle, day or purchase brings the same part of it again. Knows no design, whatever the
 * study's, and not what makes a rebuild (flight/campaignMaker.ts).
 *
 * What stays and what is fresh make up an input by sampling/levelParts.ts. Members of a correlated group have the same
 * shares, so that what ties them can come afterwards.
 */
import { CATALOGUE, type InputKey } from '../inputs/catalogue.ts';
import { correlatedGroups } from '../inputs/correlations.ts';
import { LEVELS, type Level } from '../inputs/stays.ts';
import { varyingInputs } from '../inputs/varying.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import { stream } from '../maths/streams.ts';
import type { Study } from '../study/study.ts';
import { type Changes, inputValues } from './inputValues.ts';
import { levelParts, within, wrapped } from './levelParts.ts';
import { standingLevel } from './standingSample.ts';

/** An attempt, and what was the same before; all from 1. */
export interface Occasion {
  /** Number of the campaign, and of its vehicle. */
  readonly campaign: number;
  readonly attempt: number;
  /** The how manieth of this vehicle. */
  readonly airframe: number;
  readonly batch: number;
  readonly day: number;
}

export interface CampaignSampler {
  /** Fills the inputs of one attempt, SI, in catalogue order, the same whatever was drawn before. */
  draw(occasion: Occasion, out: Float64Array): void;
  /** Error of what is read off after the attempt, as a standard normal deviate. */
  misreading(campaign: number, attempt: number): number;
  /** Key of the attempt's in-flight noise. */
  noiseKey(campaign: number, attempt: number): string;
}

/** The uniforms last drawn at one level: most levels stay over several attempts. */
interface Drawn {
  readonly level: Level;
  key: string;
  readonly u: Float64Array;
}

/**
 * @param study as loaded: its correlations can hold, and correlated inputs stay alike
 * @param held inputs whose part that stays is at its centre, as if measured and corrected; what is fresh, and all other
 * luck, is as without
 * @param changes of inputs as a whole, fresh parts with them
 */
export function makeCampaignSampler(study: Study, held: readonly InputKey[] = [], changes: Changes = {}): CampaignSampler {
  const columns = varyingInputs(study);
  const values = inputValues(study, columns, correlatedGroups(study.correlations), changes);
  const made = levelParts(study, columns);
  const used = LEVELS.filter((level) => made.some(({ parts }) => parts.some((part) => part.level === level)));
  const levels: Drawn[] = used.map((level) => ({ level, key: '', u: new Float64Array(columns.length) }));
  const uniforms = new Map(levels.map(({ level, u }) => [level, u]));
  const parts = made.map(({ allRound, parts: given }, k) => {
    const { key } = CATALOGUE[columns[k]];
    const isHeld = held.includes(key);
    if (allRound && isHeld) throw new RangeError(`${key} has no middle direction that it could be held at`);
    const left = isHeld ? given.filter(({ level }) => level === 'flight') : given;
    return left.flatMap(({ level, weight }): Part[] => {
      const u = uniforms.get(level);
      return u === undefined ? [] : [{ u, weight }];
    });
  });
  const standing = standingLevel(study, columns);
  const u = new Float64Array(columns.length);
  return {
    draw: (occasion, out) => {
      for (const drawn of levels) {
        const drew = redraw(drawn, `${places(drawn.level, occasion)}/${drawn.level}/campaigns/${study.seed}`, columns);
        // What was learnt is of the vehicle, the purchase and the day at hand: those a campaign begins with.
        if (drew && isFirst(drawn.level, occasion)) standing(drawn.level, drawn.u, `${occasion.campaign}/particle/campaigns/${study.seed}`);
      }
      for (let k = 0; k < columns.length; k++) u[k] = made[k].allRound ? turned(parts[k], k) : mixed(parts[k], k);
      values(u, out);
    },
    misreading: (campaign, attempt) => normalQuantile(stream(`${campaign}:${attempt}/misreading/campaigns/${study.seed}`)()),
    // The numbers first, as in design.ts: neighbours part best that way.
    noiseKey: (campaign, attempt) => `${campaign}:${attempt}/noise/campaigns/${study.seed}`,
  };
}

/** What tells one draw of a level from the next. */
function places(level: Level, { campaign, attempt, airframe, batch, day }: Occasion): string {
  switch (level) {
    case 'electronics':
      return `${campaign}`;
    case 'airframe':
      return `${campaign}:${airframe}`;
    case 'batch':
      return `${campaign}:${batch}`;
    case 'day':
      return `${campaign}:${day}`;
    case 'flight':
      return `${campaign}:${attempt}`;
  }
}

function isFirst(level: Level, { airframe, batch, day }: Occasion): boolean {
  return level === 'electronics' || { airframe, batch, day, flight: 0 }[level] === 1;
}

/**
 * One draw for every row of the catalogue, whether it varies or not: one more varying input changes no other.
 * @returns whether it was drawn anew
 */
function redraw(drawn: Drawn, key: string, columns: readonly number[]): boolean {
  if (drawn.key === key) return false;
  drawn.key = key;
  const next = stream(key);
  let column = 0;
  for (let k = 0; k < columns.length; k++) {
    for (; column < columns[k]; column++) next();
    drawn.u[k] = next();
    column++;
  }
  return true;
}

/** What one level adds: times its normal score; of a direction all round the first is taken as drawn. */
interface Part {
  readonly u: Float64Array;
  readonly weight: number;
}

function mixed(parts: readonly Part[], k: number): number {
  if (parts.length === 1 && parts[0].weight === 1) return parts[0].u[k];
  let z = 0;
  for (const { u, weight } of parts) z += weight * normalQuantile(u[k]);
  return within(normalCdf(z));
}

function turned(parts: readonly Part[], k: number): number {
  if (parts.length === 1) return parts[0].u[k];
  let u = parts[0].u[k];
  for (let i = 1; i < parts.length; i++) u += parts[i].weight * normalQuantile(parts[i].u[k]);
  return wrapped(u);
}
