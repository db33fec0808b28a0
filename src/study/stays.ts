/**
 * `stays:` beside a distribution, read and checked: how long a draw lasts, as one level or as shares of variance. What
 * the levels mean is inputs/stays.ts.
 */
import { z } from 'zod';
import type { Correlation } from '../inputs/correlations.ts';
import { FRESH, LEVEL_MEANINGS, LEVELS, type Level, type Shares, type Stays, sameShares, sharesText } from '../inputs/stays.ts';
import { suggestion } from '../maths/nearest.ts';
import { checkQuantity, show } from './fields.ts';
import type { Findings } from './findings.ts';

/** Shares written in per cent are rounded: 33.3333 % three times over is meant to be all. */
const SUM_SLACK = 1e-5;
const EXAMPLE = 'stays: airframe, or stays: { airframe: 60 %, flight: 40 % }';

interface Problem {
  readonly path: readonly string[];
  readonly text: string;
  /** A key that is no level: it is what is wrong, not its value. */
  readonly unknown?: string;
}

/** What the file may say beside a distribution; absent means that every flight draws anew. */
export const staysField = z
  .unknown()
  .transform((raw, context): Shares => {
    const read = readShares(raw);
    if (!Array.isArray(read)) return read as Shares;
    for (const { path, text, unknown } of read as readonly Problem[]) {
      if (unknown === undefined) context.addIssue({ code: 'custom', path: [...path], message: text });
      else context.addIssue({ code: 'unrecognized_keys', keys: [unknown], input: raw as Record<string, unknown>, message: text });
    }
    return z.NEVER;
  })
  .meta({
    anyOf: [
      { enum: [...LEVELS] },
      {
        type: 'object',
        properties: Object.fromEntries(
          LEVELS.map((level) => [level, { type: ['number', 'string'], description: LEVEL_MEANINGS[level], examples: ['60 %'] }]),
        ),
        additionalProperties: false,
        minProperties: 1,
      },
    ],
    description:
      'how long a draw stays with the vehicle (electronics: until the board is changed; airframe: until it is rebuilt; batch: one purchase of motors; day; flight), or shares of variance that add up to 100 %; only campaigns look at it',
    default: 'flight',
    examples: ['airframe'],
  });

function readShares(raw: unknown): Shares | Problem[] {
  if (typeof raw === 'string') {
    if (isLevel(raw)) return { [raw]: 1 };
    return [{ path: [], text: `read ${show(raw)}; expected one of ${LEVELS.join(', ')}, or shares of them.${suggestion(raw, LEVELS)}` }];
  }
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
    return [
      { path: [], text: `read ${show(raw)}; expected one of ${LEVELS.join(', ')}, or shares of them. Write, for example, ${EXAMPLE}.` },
    ];
  }
  const problems: Problem[] = [];
  const given = new Map<string, number>();
  for (const [key, value] of Object.entries(raw)) {
    if (!isLevel(key)) {
      problems.push({ path: [], unknown: key, text: `unknown level; expected one of ${LEVELS.join(', ')}.${suggestion(key, LEVELS)}` });
      continue;
    }
    const read = checkQuantity(value, '', { low: 0, high: 1, example: '60 %' });
    if ('value' in read) given.set(key, read.value);
    else problems.push({ path: [key], text: read.text });
  }
  if (problems.length > 0) return problems;
  const sum = [...given.values()].reduce((a, b) => a + b, 0);
  if (Math.abs(sum - 1) > SUM_SLACK) {
    const percent = Number((100 * sum).toPrecision(6));
    return [{ path: [], text: `read shares that add up to ${percent} %; expected 100 %. Write, for example, ${EXAMPLE}.` }];
  }
  return Object.fromEntries(LEVELS.flatMap((level) => ((given.get(level) ?? 0) > 0 ? [[level, given.get(level)]] : [])));
}

function isLevel(word: string): word is Level {
  return (LEVELS as readonly string[]).includes(word);
}

/** Notes every correlation whose two inputs do not stay alike: the pair could not keep its rank at every level. */
export function checkCorrelatedStays(correlations: readonly Correlation[], stays: Stays, findings: Findings): void {
  for (const [index, { a, b }] of correlations.entries()) {
    const [first, second] = [stays[a] ?? FRESH, stays[b] ?? FRESH];
    if (sameShares(first, second)) continue;
    findings.problem(
      ['correlations', index, 'between'],
      `read ${a}, which stays ${sharesText(first)}, with ${b}, which stays ${sharesText(second)}; expected the same of both. Give both the same stays:, or remove the correlation.`,
    );
  }
}
