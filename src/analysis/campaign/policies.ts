/**
 * What to change after a miss: policies flown on the luck of campaigns whose program stays as it is, and held against
 * those. Says which is best as far as that can be told, and what over-correcting costs.
 */
import type { Session } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import type { HeightConstant } from '../../flight/campaignMaker.ts';
import { KEEP, type Policy, policyName } from '../../flight/policy.ts';
import { onboardModel } from '../../flight/setup.ts';
import { varianceSplit } from '../../statistics/samples/varianceSplit.ts';
import type { CampaignPlan, RuleChoice, Study } from '../../study/study.ts';
import { type AskedPolicy, correctionOf } from '../shift/correction.ts';
import { findShiftConstant } from '../shift/heightShift.ts';
import { CampaignCollector, type FlownCampaign } from './campaignCollector.ts';
import { LEVEL } from './firstLanding.ts';
import { bestPolicy, policiesFinding } from './policyFinding.ts';
import { type Rival, rivalsOf } from './rivals.ts';

/** How much of a height miss stays with a vehicle, by campaigns flown beside, on luck of their own. */
export interface MissSplit {
  readonly campaigns: number;
  readonly attempts: number;
  /** m; null where vehicles differ less than chance has them. */
  readonly standing: number | null;
  /** m, of what is fresh on every flight, the misreading with it. */
  readonly fresh: number;
  /** Variance of the fresh over that of the standing; null for no standing. */
  readonly ratio: number | null;
}

export interface Policies {
  /** Constant that is moved, and its value as programmed. */
  readonly constant: { readonly key: string; readonly unit: string; readonly value: number };
  /** Of the intervals of attempts saved, all together. */
  readonly level: number;
  readonly split: MissSplit | null;
  readonly rivals: readonly Rival[];
  /** Name of the best, `keep` where none was told better; null where nothing was flown. */
  readonly best: string | null;
  /** Those that were not told apart from the best, pair by pair; */
  readonly alike: readonly string[];
  readonly finding: string;
}

/** A policy as flown, for the file of attempts. */
export interface FlownPolicy {
  readonly policy: Policy;
  readonly collector: CampaignCollector;
}

/** Campaigns beside, and attempts of each, from which the split of a miss is read. */
const BESIDE = 200;
const ATTEMPTS_BESIDE = 6;
/** Digits of a ratio that is found: its noise is larger. */
const RATIO_DIGITS = 3;

/** What is to be flown: known before, so that a rule without a height constant is refused before anything is. */
export interface PolicyPlan {
  readonly rule: RuleChoice;
  readonly asked: readonly AskedPolicy[];
  readonly constant: HeightConstant;
}

/** @returns null where nothing but `keep` is asked for   @throws UserError where the rule has no height constant */
export function planPolicies(study: Study, rule: RuleChoice, asked: readonly AskedPolicy[]): PolicyPlan | null {
  const others = asked.filter(({ kind }) => kind !== 'keep');
  const correction = others.length === 0 ? null : correctionOf(rule, findShiftConstant(rule, onboardModel(study)), { kind: 'harmonic' });
  return correction === null ? null : { rule, asked: others, constant: correction.constant };
}

/** Campaigns that the plan adds, for the progress shown. */
export function campaignsOfPolicies({ asked }: PolicyPlan, campaigns: number): number {
  return asked.length * campaigns + (needsSplit(asked) ? BESIDE : 0);
}

const needsSplit = (asked: readonly AskedPolicy[]): boolean => asked.some((policy) => policy.kind === 'weighted' && policy.ratio === null);

/** @param base the campaigns by `keep`   @param flyAll as those were flown */
export async function flyPolicies(
  session: Session,
  study: Study,
  plan: PolicyPlan,
  base: readonly FlownCampaign[],
  campaigns: number,
  flyAll: boolean,
): Promise<{ readonly policies: Policies; readonly flown: readonly FlownPolicy[]; readonly interrupted: boolean }> {
  const { rule, asked, constant } = plan;
  const split = needsSplit(asked) ? await splitOfMiss(session, study, rule.name, campaigns) : null;
  const flown: FlownPolicy[] = [];
  let interrupted = false;
  for (const policy of asked.map((one) => settled(one, split))) {
    if (interrupted) break;
    const collector = new CampaignCollector(true);
    const work = campaignsOf(study, { rule: rule.name, flyAll, correction: { policy, constant } }, policyName(policy));
    const report = await session.fly(work, { count: campaigns, onBatch: (batch) => collector.add(batch) });
    interrupted = report.stoppedBy === 'interrupted';
    flown.push({ policy, collector });
  }
  const ways = flown.map(({ policy, collector }) => ({ name: policyName(policy), campaigns: collector.campaigns }));
  const rivals = rivalsOf(base, ways, study.campaign);
  const best = bestPolicy(rivals);
  const alike = alikeTo(best, base, ways, study.campaign);
  return {
    policies: {
      constant: { key: constant.key, unit: 'm', value: rule.constants[constant.key] },
      level: LEVEL,
      split,
      rivals,
      best,
      alike,
      finding: policiesFinding(rivals, best, alike),
    },
    flown,
    interrupted,
  };
}

/** Policies, `keep` aside, that were not told apart from the best. */
function alikeTo(
  best: string | null,
  base: readonly FlownCampaign[],
  ways: readonly { readonly name: string; readonly campaigns: readonly FlownCampaign[] }[],
  plan: CampaignPlan,
): string[] {
  if (best === null) return [];
  const winner = ways.find(({ name }) => name === best)?.campaigns ?? base;
  const others = ways.filter(({ name }) => name !== best);
  return rivalsOf(winner, others, plan).flatMap(({ name, verdict }) => (verdict === 'not told apart' ? [name] : []));
}

/** A weighted policy gets the ratio that was found. */
function settled(policy: AskedPolicy, split: MissSplit | null): Policy {
  if (policy.kind !== 'weighted' || policy.ratio !== null) return policy as Policy;
  return { kind: 'weighted', ratio: split?.ratio ?? Number.POSITIVE_INFINITY };
}

/** Campaigns numbered beyond those that are compared, every attempt flown, the program as it is. */
async function splitOfMiss(session: Session, study: Study, rule: string, campaigns: number): Promise<MissSplit> {
  const attempts = Math.min(study.campaign.attempts, ATTEMPTS_BESIDE);
  const beside: Study = { ...study, campaign: { ...study.campaign, attempts } };
  const collector = new CampaignCollector(false);
  await session.fly(campaignsOf(beside, { rule, flyAll: true }, `${policyName(KEEP)}, beside`), {
    first: campaigns + 1,
    count: BESIDE,
    decides: true,
    onBatch: (batch) => collector.add(batch),
  });
  return splitFrom(
    collector.campaigns.map(({ misses }) => misses),
    study.campaign.observation.error,
  );
}

/** @param misses m, of each campaign's attempts; NaN for none seen   @param error m, of reading one off */
export function splitFrom(misses: readonly (readonly number[])[], error: number): MissSplit {
  const seen = misses.map((group) => group.filter((miss) => !Number.isNaN(miss)));
  const found = varianceSplit(seen);
  const fresh = (found?.within ?? 0) + error * error;
  const between = found?.between ?? 0;
  const ratio = between > 0 ? Number((fresh / between).toPrecision(RATIO_DIGITS)) : null;
  return {
    campaigns: seen.filter((group) => group.length > 0).length,
    attempts: seen.reduce((sum, group) => sum + group.length, 0),
    standing: between > 0 ? Math.sqrt(between) : null,
    fresh: Math.sqrt(fresh),
    ratio,
  };
}
