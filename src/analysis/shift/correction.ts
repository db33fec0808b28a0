/**
 * What to change after a miss, as a person asks for it, and the constant of a rule that is changed. Flies nothing; what
 * a policy does is flight/policy.ts.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { UserError } from '../../errors.ts';
import type { Correction, HeightConstant } from '../../flight/campaignMaker.ts';
import type { Policy } from '../../flight/policy.ts';
import { suggestion } from '../../maths/nearest.ts';
import type { RuleChoice } from '../../study/study.ts';

/** `weighted` alone: its ratio is yet to be found. */
export type AskedPolicy = Policy | { readonly kind: 'weighted'; readonly ratio: null };

/** Gains of `G-swept`, beside none, which is `keep`. Beyond 2 corrections grow from miss to miss. */
const SWEPT = [0.2, 0.4, 0.6, 0.8, 1, 1.5];
const MOST_GAIN = 2;
const MOST_RATIO = 1e6;
const KINDS = ['keep', 'correct:0.5', 'harmonic', 'weighted', 'G-swept'];

/**
 * @param text names with commas between   @returns each policy once, in the order asked for
 * @throws UserError for what is no policy, and for a gain outside 0 to 2
 */
export function readPolicies(text: string): AskedPolicy[] {
  const found = new Map<string, AskedPolicy>();
  const problems: string[] = [];
  for (const word of text.split(',').map((part) => part.trim())) {
    const read = readPolicy(word);
    if (typeof read === 'string') problems.push(`--policies: ${read}`);
    else for (const policy of read) found.set(JSON.stringify(policy), policy);
  }
  if (problems.length > 0) throw new UserError(problems);
  return [...found.values()];
}

/** What is wrong with it, where it is no policy. */
function readPolicy(word: string): readonly AskedPolicy[] | string {
  if (word === 'G-swept') return SWEPT.map((gain) => ({ kind: 'correct', gain }));
  if (word === 'weighted') return [{ kind: 'weighted', ratio: null }];
  if (word === 'keep' || word === 'harmonic') return [{ kind: word }];
  const [, kind, rest] = /^(correct|weighted):(.*)$/.exec(word) ?? [];
  if (kind === undefined) return `read "${word}"; expected one of ${KINDS.join(', ')}.${suggestion(word, KINDS)}`;
  const value = rest.trim() === '' ? Number.NaN : Number(rest);
  if (kind === 'weighted') {
    if (value >= 0 && (value <= MOST_RATIO || value === Number.POSITIVE_INFINITY)) return [{ kind, ratio: value }];
    return `read "${word}"; expected a ratio of variances, fresh over staying, of at least 0. Write, for example, weighted:0.5, or weighted alone to have it found.`;
  }
  if (value >= 0 && value <= MOST_GAIN) return [{ kind: 'correct', gain: value }];
  return `read "${word}"; expected a gain from 0 to ${MOST_GAIN}, the part of each miss to correct. Write, for example, correct:0.5.`;
}

/** One policy that says all, for a flight to be seen again. @throws UserError as above, and where it does not */
export function readOnePolicy(text: string): Policy {
  const [policy, ...others] = readPolicies(text);
  if (others.length > 0 || (policy.kind === 'weighted' && policy.ratio === null)) {
    throw new UserError(`--policy: read "${text}"; expected one policy with its numbers, as campaign.arrow names it, e.g. correct:0.5`);
  }
  return policy as Policy;
}

/**
 * @param constant that shifts the rule's lighting height (heightShift.ts), if it has one
 * @returns null for `keep`, which changes nothing   @throws UserError where there is no constant to be changed
 */
export function correctionOf(rule: RuleChoice, constant: HeightConstant | null, policy: Policy): Correction | null {
  if (policy.kind === 'keep') return null;
  if (constant !== null) return { policy, constant };
  const names = ruleKind(rule.kind).constants.map(({ key }) => key);
  throw new UserError(
    `rule ${rule.name} (${rule.kind}) has no constant that moves its lighting height by as much everywhere, as a correction after a miss needs; it has ${names.join(', ')}. Name another rule with --rule, or ask for no policy.`,
  );
}
