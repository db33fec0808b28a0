/**
 * Fly attempts in a row: whole campaigns, each until its first landing or its last attempt, into the results folder and
 * into the answers. End to end; prints nothing.
 */
import { UserError } from '../../errors.ts';
import type { FleetReport } from '../../fleet/fleet.ts';
import { flying } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import { KEEP, policyName } from '../../flight/policy.ts';
import { answerTable } from '../../results/answerTable.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { CampaignPlan } from '../../study/study.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import type { AskedPolicy } from '../shift/correction.ts';
import { CampaignCollector } from './campaignCollector.ts';
import { campaignTable } from './campaignTable.ts';
import { type Costs, costsOf } from './costs.ts';
import { campaignFinding } from './finding.ts';
import { type FirstLanding, firstLanding } from './firstLanding.ts';
import { flyHolds, type Holds, holdSubjects } from './holds.ts';
import { campaignsOfLevels, flyLevels, type LevelSplit } from './levels.ts';
import { campaignsOfPolicies, flyPolicies, type Policies, planPolicies } from './policies.ts';
import { type TypicalCampaign, typicalCampaigns, type Way } from './typicalCampaigns.ts';
import { type AfterLanding, type Vehicles, vehiclesOf } from './vehicles.ts';

export interface CampaignOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  readonly campaigns: number;
  /** Fly every attempt, also after a landing. */
  readonly flyAll?: boolean;
  /** What to change after a miss: flown beside the program as it is, on the same luck. */
  readonly policies?: readonly AskedPolicy[];
  /** Hold what stays, group by group. */
  readonly hold?: boolean;
  /** Tell the vehicle's own share from what days and purchases add, by flights of their own. */
  readonly levels?: boolean;
}

/** What campaign.json holds: nothing in it depends on the machine or the time. */
export interface Campaign extends StudyFacts {
  readonly rule: string;
  readonly campaignsAsked: number;
  readonly flyAll: boolean;
  readonly plan: CampaignPlan;
  /** Inputs that keep something from flight to flight; with none, every attempt is fresh luck. */
  readonly staying: number;
  readonly stoppedBy: FleetReport['stoppedBy'];
  /** Campaigns whose worker failed twice: in no answer. */
  readonly lost: FleetReport['lost'];
  /** Attempts flown in all. */
  readonly attempts: number;
  /** Of these without a result; each counts as an attempt that did not land. */
  readonly noResult: number;
  /** One sentence. */
  readonly finding: string;
  /** null without a campaign. */
  readonly firstLanding: FirstLanding | null;
  /** null where campaigns are too few, or too alike, to tell. */
  readonly vehicles: Vehicles | null;
  readonly after: AfterLanding | null;
  /** null where not asked for. */
  readonly levels: LevelSplit | null;
  /** null where no cost is given. */
  readonly costs: Costs | null;
  /** null where not asked for. */
  readonly policies: Policies | null;
  readonly holds: Holds | null;
  readonly typical: readonly TypicalCampaign[];
}

export interface CampaignFlown extends Finished {
  readonly campaign: Campaign;
}

/** Attempts kept in memory until the end, for their table. */
const MOST_ATTEMPTS = 400_000;

/**
 * @throws UserError when attempts are too many to keep, the folder cannot take results, the rule is unknown or has no
 * height constant where one is to be changed, or the disk fails
 */
export async function campaignStudy(opened: OpenedStudy, options: CampaignOptions): Promise<CampaignFlown> {
  const { study } = opened;
  const { campaigns, flyAll = false, overrides = [], policies: asked = [], hold = false, levels = false } = options;
  const choice = ruleByName(study, options.rule);
  const rule = choice.name;
  const plan = planPolicies(study, choice, asked);
  checkSize(campaigns, study.campaign.attempts, plan?.asked.length ?? 0);
  return keeping(options, { command: 'campaign', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const collector = new CampaignCollector(true);
      session.announce(
        campaigns +
          (plan === null ? 0 : campaignsOfPolicies(plan, campaigns)) +
          (hold ? campaigns * holdSubjects(study).subjects.length : 0) +
          (levels ? campaignsOfLevels(campaigns) : 0),
      );
      const report = await session.fly(campaignsOf(study, { rule, flyAll }), {
        count: campaigns,
        onBatch: (batch) => collector.add(batch),
      });
      let { stoppedBy } = report;
      const base = collector.campaigns;
      const rivals = plan === null || stoppedBy === 'interrupted' ? null : await flyPolicies(session, study, plan, base, campaigns, flyAll);
      if (rivals?.interrupted) stoppedBy = 'interrupted';
      const held = !hold || stoppedBy === 'interrupted' ? null : await flyHolds(session, study, rule, base, campaigns, flyAll);
      if (held?.interrupted) stoppedBy = 'interrupted';
      const split = !levels || stoppedBy === 'interrupted' ? null : await flyLevels(session, study, rule, campaigns);
      if (split?.interrupted) stoppedBy = 'interrupted';
      const landed = base.map((one) => one.landed);
      const odds = firstLanding(landed, study.campaign.attempts);
      const spread = vehiclesOf(landed, odds, flyAll, study.seed);
      const staying = Object.keys(study.stays).length;
      const campaign: Campaign = {
        ...studyFacts(opened, overrides),
        rule,
        campaignsAsked: campaigns,
        flyAll,
        plan: study.campaign,
        staying,
        stoppedBy,
        lost: report.lost,
        attempts: collector.attempts,
        noResult: collector.noResult,
        finding: campaignFinding(odds, study.campaign.attempts, staying > 0),
        firstLanding: odds,
        vehicles: spread?.vehicles ?? null,
        after: spread?.after ?? null,
        levels: split?.levels ?? null,
        costs: costsOf(base, study.campaign),
        policies: rivals?.policies ?? null,
        holds: held?.holds ?? null,
        typical: odds === null ? [] : typicalCampaigns(base, odds, bestWay(rivals)),
      };
      const facts = session.facts();
      const flown = [{ policy: KEEP, collector }, ...(rivals?.flown ?? [])];
      const attempts = flown.reduce((sum, one) => sum + one.collector.attempts, (held?.attempts ?? 0) + (split?.attempts ?? 0));
      const run = { ...facts, flightsPerSecond: facts.seconds > 0 ? attempts / facts.seconds : 0 };
      const { studyHash, seed } = campaign;
      const table =
        collector.batches.length === 0
          ? {}
          : { 'campaign.arrow': await answerTable('campaign', campaignTable(flown, study, choice, plan), { studyHash, seed, rule }) };
      const files = { 'campaign.json': campaign, ...table };
      return { campaign, run, folder: keeper.finish(files, opened.text, run, stoppedBy !== 'interrupted') };
    }),
  );
}

/** The best policy's own campaigns; null where that is to leave the program as it is. */
function bestWay(rivals: Awaited<ReturnType<typeof flyPolicies>> | null): Way | null {
  const best = rivals?.flown.find(({ policy }) => policyName(policy) === rivals.policies.best);
  return best === undefined ? null : { policy: policyName(best.policy), campaigns: best.collector.campaigns };
}

function checkSize(campaigns: number, attempts: number, policies: number): void {
  const ways = 1 + policies;
  if (campaigns * attempts * ways <= MOST_ATTEMPTS) return;
  const by = policies === 0 ? '' : ` by ${ways} policies`;
  throw new UserError(
    `${campaigns} campaigns of at most ${attempts} attempts${by}: expected at most ${MOST_ATTEMPTS} attempts in all; ask for fewer campaigns or attempts`,
  );
}
