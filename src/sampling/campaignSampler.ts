/**
 * The input vector of any attempt of any campaign, alone, anywhere: what an input keeps is drawn from streams of its
 * level, so that the same vehicle, day or purchase brings the same part of it again. Knows no design, whatever the
 * study's, and not what makes a rebuild (flight/campaignMaker.ts).
 *
 * Shares are of variance in normal scores, z = sum of sqrt(share) z_level and u = Phi(z): every marginal distribution
 * is what it was. Members of a correlated group have the same shares, so that what ties them can come afterwards.
 */
import { CATALOGUE, type InputKey } from '../inputs/catalogue.ts';
import { correlatedGroups } from '../inputs/correlations.ts';
import { FRESH, LEVELS, type Level } from '../inputs/stays.ts';
import { varyingInputs } from '../inputs/varying.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import { stream } from '../maths/streams.ts';
import type { Study } from '../study/study.ts';
import { inputValues } from './inputValues.ts';

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

/** Largest double below 1. */
const BELOW_ONE = 1 - 2 ** -53;

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
 */
export function makeCampaignSampler(study: Study, held: readonly InputKey[] = []): CampaignSampler {
  const columns = varyingInputs(study);
  const values = inputValues(study, columns, correlatedGroups(study.correlations), {});
  const shares = columns.map((column) => study.stays[CATALOGUE[column].key] ?? FRESH);
  const used = LEVELS.filter((level) => shares.some((s) => s[level] !== undefined));
  const levels: Drawn[] = used.map((level) => ({ level, key: '', u: new Float64Array(columns.length) }));
  const parts = shares.map((s, k) => {
    const given = levels.flatMap(({ level, u }) => (s[level] === undefined ? [] : [{ level, u, share: s[level] }]));
    // Rounded shares may miss 1 a little; the marginal distribution must not.
    const sum = given.reduce((total, { share }) => total + share, 0);
    const left = held.includes(CATALOGUE[columns[k]].key) ? given.filter(({ level }) => level === 'flight') : given;
    return left.map(({ u, share }) => ({ u, weight: Math.sqrt(share / sum) }));
  });
  const u = new Float64Array(columns.length);
  return {
    draw: (occasion, out) => {
      for (const drawn of levels) redraw(drawn, `${places(drawn.level, occasion)}/${drawn.level}/campaigns/${study.seed}`, columns);
      for (let k = 0; k < columns.length; k++) u[k] = mixed(parts[k], k);
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

/** One draw for every row of the catalogue, whether it varies or not: one more varying input changes no other. */
function redraw(drawn: Drawn, key: string, columns: readonly number[]): void {
  if (drawn.key === key) return;
  drawn.key = key;
  const next = stream(key);
  let column = 0;
  for (let k = 0; k < columns.length; k++) {
    for (; column < columns[k]; column++) next();
    drawn.u[k] = next();
    column++;
  }
}

function mixed(parts: readonly { readonly u: Float64Array; readonly weight: number }[], k: number): number {
  if (parts.length === 1 && parts[0].weight === 1) return parts[0].u[k];
  let z = 0;
  for (const { u, weight } of parts) z += weight * normalQuantile(u[k]);
  return Math.min(normalCdf(z), BELOW_ONE);
}
