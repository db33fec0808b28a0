/**
 * Rank correlation between inputs by a Gaussian copula: turns independent uniforms into dependent ones and leaves each of them
 * uniform. Knows no distributions; for inputs of few values (chances, discrete) the rank correlation reached is smaller than asked for.
 *
 * Source: R. B. Nelsen, An Introduction to Copulas, 2006; W. H. Kruskal, J. Am. Stat. Assoc. 53 (1958) 814-861 for
 * r_normal = 2 sin(pi r_Spearman / 6).
 */
import { sin } from '../maths/elementary/circular.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import type { Correlation } from '../study/study.ts';
import { INPUT_INDEX } from './catalogue.ts';

/** Inputs tied together by correlations, directly or through others; catalogue columns, ascending. */
export interface CorrelatedGroup {
  readonly columns: readonly number[];
  /** Lower Cholesky factor of the normal correlations, row by row, as many columns as rows. */
  readonly factor: Float64Array;
}

/** Largest double below 1: what stands in for an upper tail that rounds to 1. */
const BELOW_ONE = 1 - 2 ** -53;

/**
 * What is wrong with a study's correlations, one line each: unknown inputs, inputs that do not vary, a pair given twice, a rank outside
 * (-1, 1), ranks that cannot all hold together. Empty when all is well.
 * @param varying columns that vary (varying.ts)
 */
export function correlationProblems(correlations: readonly Correlation[], varying: readonly number[]): readonly string[] {
  const problems: string[] = [];
  const seen = new Set<string>();
  for (const { a, b, rank } of correlations) {
    const place = `correlations: ${a} with ${b}: `;
    for (const key of a === b ? [a] : [a, b]) {
      const column = INPUT_INDEX.get(key);
      if (column === undefined) problems.push(`${place}there is no input ${key}. \`alight inputs\` lists them.`);
      else if (!varying.includes(column)) problems.push(`${place}${key} does not vary. Give it a distribution or remove the correlation.`);
    }
    if (a === b) problems.push(`${place}an input cannot be correlated with itself. Name two inputs.`);
    if (!(rank > -1 && rank < 1))
      problems.push(`${place}read a rank correlation of ${rank}; expected a number between -1 and 1, ends excluded.`);
    const pair = [a, b].sort().join(' ');
    if (seen.has(pair)) problems.push(`${place}given twice. Keep one.`);
    seen.add(pair);
  }
  if (problems.length > 0) return problems;
  for (const columns of groupsOf(correlations)) {
    if (cholesky(normalCorrelations(columns, correlations), columns.length) === null) {
      const keys = [...INPUT_INDEX].filter(([, column]) => columns.includes(column)).map(([key]) => key);
      problems.push(
        `correlations: those of ${keys.join(', ')} cannot all hold together. Bring them closer to 0, or add the missing pairs.`,
      );
    }
  }
  return problems;
}

/** The groups of a study's correlations. @throws RangeError for what {@link correlationProblems} names. */
export function correlatedGroups(correlations: readonly Correlation[]): readonly CorrelatedGroup[] {
  return groupsOf(correlations).map((columns) => {
    const factor = cholesky(normalCorrelations(columns, correlations), columns.length);
    if (factor === null) throw new RangeError(`correlations of the inputs in columns ${columns.join(', ')} cannot all hold together`);
    return { columns, factor };
  });
}

/**
 * Makes the uniforms of one group dependent, in place: u -> z -> L z -> Phi. The first stays as it is.
 * @param u uniforms in (0, 1)   @param places where in `u` each of the group's inputs stands   @param z room for as many numbers
 */
export function correlate(u: Float64Array, places: Int32Array, factor: Float64Array, z: Float64Array): void {
  const n = places.length;
  for (let i = 0; i < n; i++) z[i] = normalQuantile(u[places[i]]);
  for (let i = 1; i < n; i++) {
    let sum = 0;
    for (let j = 0; j <= i; j++) sum += factor[i * n + j] * z[j];
    u[places[i]] = Math.min(normalCdf(sum), BELOW_ONE);
  }
}

function groupsOf(correlations: readonly Correlation[]): readonly (readonly number[])[] {
  const groups: Set<number>[] = [];
  for (const { a, b } of correlations) {
    const pair = [a, b].map((key) => {
      const column = INPUT_INDEX.get(key);
      if (column === undefined) throw new RangeError(`no input ${key} in the catalogue`);
      return column;
    });
    const touched = groups.filter((g) => pair.some((column) => g.has(column)));
    const joined = new Set([...touched.flatMap((g) => [...g]), ...pair]);
    groups.splice(0, groups.length, ...groups.filter((g) => !touched.includes(g)), joined);
  }
  return groups.map((g) => [...g].sort((i, j) => i - j)).sort((g, h) => g[0] - h[0]);
}

function normalCorrelations(columns: readonly number[], correlations: readonly Correlation[]): Float64Array {
  const n = columns.length;
  const r = new Float64Array(n * n);
  for (let i = 0; i < n; i++) r[i * n + i] = 1;
  for (const { a, b, rank } of correlations) {
    const i = columns.indexOf(INPUT_INDEX.get(a) ?? -1);
    const j = columns.indexOf(INPUT_INDEX.get(b) ?? -1);
    if (i < 0 || j < 0) continue; // a pair of another group
    r[i * n + j] = r[j * n + i] = 2 * sin((Math.PI * rank) / 6);
  }
  return r;
}

/** Lower factor of a correlation matrix; null when it is not positive definite (or so nearly not that the digits are gone). */
function cholesky(r: Float64Array, n: number): Float64Array | null {
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = r[i * n + j];
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k];
      if (j < i) l[i * n + j] = sum / l[j * n + j];
      else if (sum > 1e-12) l[i * n + i] = Math.sqrt(sum);
      else return null;
    }
  }
  return l;
}
