/**
 * Rank correlations between inputs: which can be asked for, and the groups they tie together. Draws nothing
 * (sampling/copula.ts) and knows no file; what is wrong is said once, here, and study/ adds the place.
 *
 * Source: W. H. Kruskal, Ordinal measures of association, J. Am. Stat. Assoc. 53 (1958) 814-861, for the normal
 * correlation behind a rank correlation, r = 2 sin(pi rank / 6).
 */
import { Bracket } from '../maths/bracket.ts';
import { cholesky } from '../maths/cholesky.ts';
import { sin } from '../maths/elementary/circular.ts';
import { suggestion } from '../maths/nearest.ts';
import { CATALOGUE, INPUT_INDEX, type InputKey, inputIndex, isInputKey } from './catalogue.ts';

/** Rank (Spearman) correlation asked for between two inputs, by key. */
export interface Correlation {
  readonly a: InputKey;
  readonly b: InputKey;
  readonly rank: number;
}

/** One as a person wrote it: the names may be no inputs. */
export interface WrittenCorrelation {
  readonly a: string;
  readonly b: string;
  readonly rank: number;
}

/**
 * What is wrong with a list of correlations: which of them (null: the list as a whole), which part of it, and what to
 * do.
 */
export interface CorrelationProblem {
  readonly index: number | null;
  readonly part: 'a' | 'b' | 'pair' | 'rank' | 'whole';
  readonly text: string;
}

/** Inputs tied together by correlations, directly or through others; catalogue columns, ascending. */
export interface CorrelatedGroup {
  readonly columns: readonly number[];
  /** Lower Cholesky factor of the normal correlations, row by row, as many columns as rows. */
  readonly factor: Float64Array;
}

/** A row's own part of the variance below which the digits of a factor are gone. */
const LEAST_OWN_PART = 1e-12;

/**
 * Every problem of a list: names that are no inputs, inputs that do not vary, a pair given twice, a rank outside (-1,
 * 1), ranks that cannot all hold together. Empty when all is well: the list then is one of `Correlation`s.
 * @param varies whether an input's draws can differ; null while that is not known, and then not asked
 */
export function correlationProblems(
  list: readonly WrittenCorrelation[],
  varies: ((key: InputKey) => boolean) | null,
): readonly CorrelationProblem[] {
  const problems: CorrelationProblem[] = [];
  const seen = new Set<string>();
  for (const [index, { a, b, rank }] of list.entries()) {
    const note = (part: CorrelationProblem['part'], text: string) => problems.push({ index, part, text });
    for (const [part, key] of [['a', a] as const, ['b', b] as const]) {
      if (!isInputKey(key)) {
        const near = suggestion(key, INPUT_INDEX.keys()) || ' `alight inputs` lists them.';
        note(part, `read ${JSON.stringify(key)}; expected the key of an input.${near}`);
      } else if (varies !== null && !varies(key)) {
        const remedy = 'Give it a distribution, or remove the correlation.';
        note(part, `read ${JSON.stringify(key)}, which does not vary; expected an input that does. ${remedy}`);
      }
    }
    if (a === b) note('pair', `read ${JSON.stringify(a)} twice; expected two inputs. Name another.`);
    if (!(rank > -1 && rank < 1)) {
      note('rank', `read ${rank}; expected a rank correlation between -1 and 1, ends left out. Weaken it.`);
    }
    const pair = [a, b].sort().join(' ');
    if (seen.has(pair)) note('whole', `read ${a} with ${b} a second time; expected each pair once. Remove one.`);
    seen.add(pair);
  }
  if (problems.length > 0 || !areInputs(list) || holdTogether(list)) return problems;
  return [cannotHold(list)];
}

/** The groups of a list without problems. @throws RangeError when its correlations cannot hold together. */
export function correlatedGroups(correlations: readonly Correlation[]): readonly CorrelatedGroup[] {
  return groupsOf(correlations).map((columns) => {
    const factor = factorOf(columns, correlations);
    if (factor === null) {
      throw new RangeError(`correlations of ${columns.map((column) => CATALOGUE[column].key).join(', ')} cannot all hold together`);
    }
    return { columns, factor };
  });
}

export function areInputs(list: readonly WrittenCorrelation[]): list is readonly Correlation[] {
  return list.every(({ a, b }) => isInputKey(a) && isInputKey(b));
}

function holdTogether(list: readonly Correlation[]): boolean {
  return groupsOf(list).every((columns) => factorOf(columns, list) !== null);
}

/** Names the one pair whose weakening alone mends the list with the least change, and the strength it may keep. */
function cannotHold(list: readonly Correlation[]): CorrelationProblem {
  const expected = 'expected a positive definite matrix';
  const found = weakest(list);
  if (found === null) {
    const text = `read correlations that cannot all hold together; ${expected}. Bring several of them closer to 0.`;
    return { index: null, part: 'whole', text };
  }
  const { a, b, rank } = list[found.index];
  const keep = Number((0.99 * found.keep).toPrecision(3));
  const remedy = `Weaken ${a} with ${b} to ${keep} or less in size, or add the pairs left out.`;
  return { index: found.index, part: 'rank', text: `read ${rank}, which cannot hold together with the others; ${expected}. ${remedy}` };
}

function weakest(list: readonly Correlation[]): { readonly index: number; readonly keep: number } | null {
  let best: { readonly index: number; readonly keep: number; readonly change: number } | null = null;
  for (const [index, pair] of list.entries()) {
    const weakened = (kept: number) => list.map((c, i) => (i === index ? { ...c, rank: c.rank * kept } : c));
    if (!holdTogether(weakened(0))) continue;
    const share = new Bracket();
    share.start(0, 1);
    while (share.width() > 1e-9) share.narrow(!holdTogether(weakened(share.middle())));
    const change = (1 - share.low) * Math.abs(pair.rank);
    if (best === null || change < best.change) best = { index, keep: share.low * pair.rank, change };
  }
  return best;
}

function groupsOf(correlations: readonly Correlation[]): readonly (readonly number[])[] {
  const groups: Set<number>[] = [];
  for (const { a, b } of correlations) {
    const pair = [inputIndex(a), inputIndex(b)];
    const touched = groups.filter((g) => pair.some((column) => g.has(column)));
    const joined = new Set([...touched.flatMap((g) => [...g]), ...pair]);
    groups.splice(0, groups.length, ...groups.filter((g) => !touched.includes(g)), joined);
  }
  return groups.map((g) => [...g].sort((i, j) => i - j)).sort((g, h) => g[0] - h[0]);
}

/** Lower factor of the normal correlations of a group; null when they are not positive definite. */
function factorOf(columns: readonly number[], correlations: readonly Correlation[]): Float64Array | null {
  const n = columns.length;
  const r = new Float64Array(n * n);
  for (let i = 0; i < n; i++) r[i * n + i] = 1;
  for (const { a, b, rank } of correlations) {
    const i = columns.indexOf(inputIndex(a));
    const j = columns.indexOf(inputIndex(b));
    if (i < 0 || j < 0) continue; // a pair of another group
    r[i * n + j] = r[j * n + i] = 2 * sin((Math.PI * rank) / 6);
  }
  return cholesky(r, n, LEAST_OWN_PART).factor;
}
