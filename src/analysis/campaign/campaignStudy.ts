/**
 * Fly attempts in a row: whole campaigns, each until its first landing or its last attempt, into the results folder and
 * into the answers. End to end; prints nothing.
 */
import { UserError } from '../../errors.ts';
import type { FleetReport } from '../../fleet/fleet.ts';
import { flying } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import { answerTable } from '../../results/answerTable.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { CampaignPlan } from '../../study/study.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { CampaignCollector } from './campaignCollector.ts';
import { campaignTable } from './campaignTable.ts';
import { campaignFinding } from './finding.ts';
import { type FirstLanding, firstLanding } from './firstLanding.ts';
import { type AfterLanding, type Vehicles, vehiclesOf } from './vehicles.ts';

export interface CampaignOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  readonly campaigns: number;
  /** Fly every attempt, also after a landing. */
  readonly flyAll?: boolean;
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
}

export interface CampaignFlown extends Finished {
  readonly campaign: Campaign;
}

/** Attempts kept in memory until the end, for their table. */
const MOST_ATTEMPTS = 400_000;

/** @throws UserError when attempts are too many to keep, the folder cannot take results, the rule is unknown, or the disk fails */
export async function campaignStudy(opened: OpenedStudy, options: CampaignOptions): Promise<CampaignFlown> {
  const { study } = opened;
  const { campaigns, flyAll = false, overrides = [] } = options;
  const rule = ruleByName(study, options.rule).name;
  if (campaigns * study.campaign.attempts > MOST_ATTEMPTS) {
    throw new UserError(
      `${campaigns} campaigns of at most ${study.campaign.attempts} attempts: expected at most ${MOST_ATTEMPTS} attempts in all; ask for fewer campaigns or attempts`,
    );
  }
  return keeping(options, { command: 'campaign', studies: [opened] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const collector = new CampaignCollector();
      const report = await session.fly(campaignsOf(study, { rule, flyAll }), {
        count: campaigns,
        onBatch: (batch) => collector.add(batch),
      });
      const odds = firstLanding(collector.campaigns, study.campaign.attempts);
      const spread = vehiclesOf(collector.campaigns, odds, flyAll, study.seed);
      const staying = Object.keys(study.stays).length;
      const campaign: Campaign = {
        ...studyFacts(opened, overrides),
        rule,
        campaignsAsked: campaigns,
        flyAll,
        plan: study.campaign,
        staying,
        stoppedBy: report.stoppedBy,
        lost: report.lost,
        attempts: collector.attempts,
        noResult: collector.noResult,
        finding: campaignFinding(odds, study.campaign.attempts, staying > 0),
        firstLanding: odds,
        vehicles: spread?.vehicles ?? null,
        after: spread?.after ?? null,
      };
      const facts = session.facts();
      const run = { ...facts, flightsPerSecond: facts.seconds > 0 ? collector.attempts / facts.seconds : 0 };
      const { studyHash, seed } = campaign;
      const table =
        collector.batches.length === 0
          ? {}
          : { 'campaign.arrow': await answerTable('campaign', campaignTable(collector.batches, study), { studyHash, seed, rule }) };
      const files = { 'campaign.json': campaign, ...table };
      return { campaign, run, folder: keeper.finish(files, opened.text, run, report.stoppedBy !== 'interrupted') };
    }),
  );
}
