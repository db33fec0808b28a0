/**
 * How much of what vehicles land is the vehicle's own, and what a day and a purchase of motors add: flights flown for
 * the question, on luck that shares just so much. A campaign as it is flown cannot tell: its flights share days and
 * purchases, and a crash, which is an outcome, ends what an airframe kept.
 */
import type { Session } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import type { CampaignPlan, Study } from '../../study/study.ts';
import { CampaignCollector } from './campaignCollector.ts';
import { firstLanding } from './firstLanding.ts';
import { type Estimate, type Vehicles, vehiclesOf } from './vehicles.ts';

/** Correlations by the analysis of variance; null where flights are too few, or too alike, to tell. */
export interface LevelSplit {
  /** Vehicles, and flights of each in each of the three ways. */
  readonly campaigns: number;
  readonly flights: number;
  /** Of flights that share the vehicle and nothing else. */
  readonly vehicle: Vehicles | null;
  /** Between two flights of one vehicle on one day, with motors of two purchases. */
  readonly sameDay: Estimate | null;
  /** On two days, with motors of one purchase. */
  readonly sameBatch: Estimate | null;
}

/** Flights of each vehicle in each way. */
const FLIGHTS = 4;
/** Ways flown. */
const WAYS = 3;

/** Campaigns that this adds, for the progress shown. */
export function campaignsOfLevels(campaigns: number): number {
  return WAYS * campaigns;
}

export async function flyLevels(
  session: Session,
  study: Study,
  rule: string,
  campaigns: number,
): Promise<{ readonly levels: LevelSplit | null; readonly attempts: number; readonly interrupted: boolean }> {
  let attempts = 0;
  let interrupted = false;
  const flyWay = async (name: string, shared: Pick<CampaignPlan, 'flightsADay' | 'motorsInBatch'>): Promise<Vehicles | null> => {
    if (interrupted) return null;
    const plan: CampaignPlan = { ...study.campaign, ...shared, attempts: FLIGHTS, rebuild: { sink: null, tippedOver: false } };
    const collector = new CampaignCollector(false);
    const work = campaignsOf({ ...study, campaign: plan }, { rule, flyAll: true }, name);
    const report = await session.fly(work, { count: campaigns, onBatch: (batch) => collector.add(batch) });
    interrupted = report.stoppedBy === 'interrupted';
    attempts += collector.attempts;
    const landed = collector.campaigns.map((one) => one.landed);
    return vehiclesOf(landed, firstLanding(landed, FLIGHTS), true, `${study.seed}/${name}`)?.vehicles ?? null;
  };
  const vehicle = await flyWay('one vehicle', { flightsADay: 1, motorsInBatch: 1 });
  const sameDay = await flyWay('one vehicle, one day', { flightsADay: FLIGHTS, motorsInBatch: 1 });
  const sameBatch = await flyWay('one vehicle, one purchase', { flightsADay: 1, motorsInBatch: FLIGHTS });
  const levels = { campaigns, flights: FLIGHTS, vehicle, sameDay: sameDay?.byVariance ?? null, sameBatch: sameBatch?.byVariance ?? null };
  return { levels: interrupted ? null : levels, attempts, interrupted };
}
