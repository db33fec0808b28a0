/**
 * The distribution that the next value comes from, as far as a few measured values tell: wider than their own spread,
 * the more so the fewer they are. Chooses no kind of distribution by looking at the data; fits.ts does.
 */
import type { InputRow } from '../../inputs/catalogue.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { shareHeld } from '../../inputs/varying.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { studentQuantile } from '../../maths/student.ts';
import { normalSample, prediction } from '../../statistics/samples/normalSample.ts';

/** Nine times in ten a value lies between these quantiles. */
export const CENTRAL = [0.05, 0.95] as const;
/** Share of draws beyond what an input may be, from which a bell curve is not the thing. */
const MOST_BEYOND = 0.001;

/** A logarithm that varies more is none of a bell curve's: a study takes no wider one. */
export const WIDEST_LOG = 5;

/** Student's t about the mean. @param values two at least   @returns null of fewer, or where they do not differ */
export function studentOf(values: readonly number[]): Distribution | null {
  const next = prediction(normalSample(values));
  return next === null || next.scale === 0 ? null : { kind: 'student', ...next };
}

/**
 * Lognormal about the values' geometric mean, as wide as what Student's t leaves open of their logarithms nine times in
 * ten: the study's language has no Student's t of logarithms.
 * @param values above 0, two at least   @returns null otherwise, where they do not differ, or do so by many powers of ten
 */
export function lognormalOf(values: readonly number[]): Distribution | null {
  if (values.some((v) => !(v > 0))) return null;
  const next = prediction(normalSample(values.map(Math.log)));
  if (next === null || next.scale === 0) return null;
  const logSd = (next.scale * studentQuantile(next.freedom)(CENTRAL[1])) / normalQuantile(CENTRAL[1]);
  return logSd > WIDEST_LOG ? null : { kind: 'lognormal', median: Math.exp(next.mean), logSd };
}

/** Student's t; the lognormal where the former would often leave what the input may be, and values are above 0. */
export function predictive(values: readonly number[], row: InputRow): Distribution | null {
  const student = studentOf(values);
  if (student === null || shareHeld(student, row.low, row.high) <= MOST_BEYOND) return student;
  return lognormalOf(values) ?? student;
}
