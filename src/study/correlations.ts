/** Are the rank correlations of a study ones that inputs can have? Does not draw; that is inputs/. */
import type { Findings } from './findings.ts';
import { suggestion } from './nearest.ts';
import type { Correlation, Distribution, InputRow } from './study.ts';

/**
 * Pearson correlation of the normals behind a rank correlation: r = 2 sin(pi rank / 6).
 * Source: W. H. Kruskal, Ordinal measures of association, J. Am. Stat. Assoc. 53 (1958) 814-861.
 */
const behind = (rank: number) => 2 * Math.sin((Math.PI * rank) / 6);

/** Whether a matrix of these off-diagonal entries (ones on the diagonal) is positive definite, by elimination. */
function positiveDefinite(n: number, entry: (i: number, j: number) => number): boolean {
  const a = Array.from({ length: n }, (_, i) => Array.from({ length: n }, (_, j) => (i === j ? 1 : entry(i, j))));
  for (const [k, pivotRow] of a.entries()) {
    const pivot = pivotRow[k] ?? 0;
    if (!(pivot > 1e-12)) return false;
    for (const row of a.slice(k + 1)) {
      const factor = (row[k] ?? 0) / pivot;
      for (let j = k; j < n; j++) row[j] = (row[j] ?? 0) - factor * (pivotRow[j] ?? 0);
    }
  }
  return true;
}

function holdTogether(list: readonly Correlation[]): boolean {
  const keys = [...new Set(list.flatMap(({ a, b }) => [a, b]))];
  const rank = (i: number, j: number) =>
    list.find(({ a, b }) => (a === keys[i] && b === keys[j]) || (a === keys[j] && b === keys[i]))?.rank ?? 0;
  return positiveDefinite(keys.length, (i, j) => behind(rank(i, j)));
}

/** The one pair whose weakening alone mends the list with the least change, and the strength it may keep. */
function weakest(list: readonly Correlation[]): { index: number; keep: number } | undefined {
  let best: { index: number; keep: number; change: number } | undefined;
  for (const [index, pair] of list.entries()) {
    const weakened = (share: number) => list.map((c, i) => (i === index ? { ...c, rank: c.rank * share } : c));
    if (!holdTogether(weakened(0))) continue;
    let good = 0;
    let bad = 1;
    for (let i = 0; i < 30; i++) {
      const middle = 0.5 * (good + bad);
      if (holdTogether(weakened(middle))) good = middle;
      else bad = middle;
    }
    const change = (1 - good) * Math.abs(pair.rank);
    if (best === undefined || change < best.change) best = { index, keep: good * pair.rank, change };
  }
  return best;
}

/**
 * Notes every problem of the list.
 * @param varies whether draws of a distribution can differ
 * @param inputs undefined while some input has a problem of its own: whether inputs vary is then not asked
 */
export function checkCorrelations(
  list: readonly Correlation[],
  catalogue: readonly InputRow[],
  inputs: Readonly<Record<string, Distribution>> | undefined,
  varies: (d: Distribution) => boolean,
  findings: Findings,
): void {
  const before = findings.problems.length;
  const keys = catalogue.map((row) => row.key);
  const seen = new Set<string>();
  for (const [i, { a, b, rank }] of list.entries()) {
    const path = ['correlations', i];
    for (const [end, key] of [a, b].entries()) {
      const at = [...path, 'between', end];
      const distribution = inputs?.[key];
      if (!keys.includes(key)) {
        findings.problem(
          at,
          `read ${JSON.stringify(key)}; expected the key of an input.${suggestion(key, keys) || ' See the list of inputs.'}`,
        );
      } else if (inputs !== undefined && (distribution === undefined || !varies(distribution))) {
        findings.problem(
          at,
          `read ${JSON.stringify(key)}, which does not vary; expected an input that does. Give it a distribution, or remove the correlation.`,
        );
      }
    }
    if (a === b) findings.problem([...path, 'between'], `read ${JSON.stringify(a)} twice; expected two inputs. Name another.`);
    if (!(rank > -1 && rank < 1)) {
      findings.problem([...path, 'rank'], `read ${rank}; expected a rank correlation between -1 and 1, ends left out. Weaken it.`);
    }
    const pair = [a, b].sort().join(' ');
    if (seen.has(pair)) findings.problem(path, `read ${a} with ${b} a second time; expected each pair once. Remove one.`);
    seen.add(pair);
  }
  if (findings.problems.length > before || holdTogether(list)) return;
  const found = weakest(list);
  const pair = found === undefined ? undefined : list[found.index];
  findings.problem(
    found === undefined ? ['correlations'] : ['correlations', found.index, 'rank'],
    found === undefined || pair === undefined
      ? 'read correlations that cannot all hold together; expected a positive definite matrix. Bring several of them closer to 0.'
      : `read ${pair.rank}, which cannot hold together with the others; expected a positive definite matrix. Weaken ${pair.a} with ${pair.b} to ${Number((0.99 * found.keep).toPrecision(3))} or less in size, or add the pairs left out.`,
  );
}
