/**
 * What would teach most at the next attempt: the expected information gain about what stays with the vehicle from
 * seeing one output, by a linear fit over flights of the next attempt. Flies nothing.
 *
 * For normal, linear quantities the gain is -(1/2) log2(1 - R^2), R^2 the share of what would be seen, error and all,
 * that the standing scores explain (D. V. Lindley, Annals of Mathematical Statistics 27 (1956) 986-1005).
 */
import { OUTPUTS, type OutputKey } from '../../flight/outputs.ts';
import { normalQuantile } from '../../maths/normal.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { leastSquares } from '../../statistics/sensitivity/leastSquares.ts';
import type { Logbook } from '../logbook/logbook.ts';
import { standingParts } from './narrowed.ts';
import type { NextFlights } from './nextAttempt.ts';
import type { Posterior } from './posterior.ts';
import { scoreOf } from './scores.ts';

export interface WorthSeeing {
  readonly output: OutputKey;
  readonly unit: string;
  /** Standard error of the sight, SI. */
  readonly error: number;
  /** Expected bits about what stays. */
  readonly bits: number;
  readonly interval: Interval;
}

/** Errors where the logbook has none for that output: of plain means such as tape, video and stop-watch. */
const ERRORS: Readonly<Record<string, number>> = { m: 1, s: 0.1, 'm/s': 0.5, rad: (3 * Math.PI) / 180, 'rad/s': 0.2, 'm/s^2': 2 };
/** Outputs that happen in a smaller share of flights are not counted upon. */
const MOSTLY = 0.8;
const SHOWN = 8;
const Z = normalQuantile(0.975);

/** Greatest gain first. */
export function worthSeeing(posterior: Posterior, { attempts }: Logbook, flights: NextFlights): WorthSeeing[] {
  const { dimensions } = posterior.scores;
  const parts = standingParts(posterior).filter((own) => own.length > 0);
  const n = flights.scores.length / dimensions;
  if (parts.length === 0 || n < 4 * parts.length) return [];
  const rows = Array.from({ length: n }, (_, i) => [1, ...parts.map((own) => scoreOf(own, flights.scores, i * dimensions))]);
  return OUTPUTS.flatMap(({ key, unit, type }, o): WorthSeeing[] => {
    const error = errorIn(key, attempts) ?? ERRORS[unit];
    if (type !== 'number' || error === undefined) return [];
    const values = flights.outputs[o];
    const there = Array.from(values.keys()).filter((i) => !Number.isNaN(values[i]));
    if (there.length < MOSTLY * n || there.length < 4 * parts.length) return [];
    const y = there.map((i) => values[i]);
    const { rSquared } = leastSquares(
      there.map((i) => rows[i]),
      y,
    );
    if (Number.isNaN(rSquared)) return [];
    const mean = y.reduce((sum, v) => sum + v, 0) / y.length;
    const variance = y.reduce((sum, v) => sum + (v - mean) ** 2, 0) / y.length;
    // Adjusted for the columns; the error of the sight explains nothing.
    const adjusted = Math.max(0, 1 - ((1 - rSquared) * (y.length - 1)) / (y.length - parts.length - 1));
    const share = (adjusted * variance) / (variance + error * error);
    const noise = (2 * Math.sqrt(share) * (1 - share)) / Math.sqrt(y.length);
    return [{ output: key, unit, error, bits: bits(share), interval: [bits(share - Z * noise), bits(share + Z * noise)] }];
  })
    .sort((a, b) => b.bits - a.bits)
    .slice(0, SHOWN);
}

function bits(share: number): number {
  return -0.5 * Math.log2(1 - Math.min(Math.max(share, 0), 1 - 1e-9));
}

function errorIn(key: OutputKey, attempts: Logbook['attempts']): number | undefined {
  for (const { observations } of attempts) {
    const found = observations.find((one) => one.key === key);
    if (found !== undefined && found.sight.kind === 'value') return found.sight.error;
  }
  return undefined;
}
