/**
 * The program from TypeScript, without the command line: open a study, fly it, compare, tune and rank, trace a flight,
 * make page and card, measure recordings.
 */
import './flight/kernel/numbers.ts';

export { type Campaign, type CampaignFlown, type CampaignOptions, campaignStudy } from './analysis/campaign/campaignStudy.ts';
export { type CardFlown, cardOfResults, type FieldCard, flyCard } from './analysis/card/fieldCard.ts';
export { type Compared, type CompareOptions, compareRules } from './analysis/compare/compareRules.ts';
export type { Comparison } from './analysis/compare/comparison.ts';
export { type CompareVariantsOptions, compareVariants } from './analysis/designs/compareVariants.ts';
export type { Sweep } from './analysis/designs/sweep.ts';
export { type SweepOptions, type Swept, sweepStudy } from './analysis/designs/sweepStudy.ts';
export { type DropRules, type DropRulesOptions, dropRules } from './analysis/drops/dropRules.ts';
export { type Flown, type FlyOptions, flyStudy, type Summary } from './analysis/fly/flyStudy.ts';
export { type TracedFlight, traceFlight } from './analysis/fly/traceFlight.ts';
export { type Joined, type JoinOptions, joinParts } from './analysis/join/joinParts.ts';
export type { Learning } from './analysis/learn/learning.ts';
export { type Learned, type LearnOptions, learnStudy } from './analysis/learn/learnStudy.ts';
export type { Logbook } from './analysis/logbook/logbook.ts';
export { openLogbook } from './analysis/logbook/readLogbook.ts';
export { type MeasureLegsOptions, measureLegs } from './analysis/measure/measureLegs.ts';
export { type MeasureMotorOptions, measureMotor } from './analysis/measure/measureMotor.ts';
export type {
  LegsMeasurement,
  Measurement,
  MotorMeasurement,
  SensorMeasurement,
  ValuesMeasurement,
} from './analysis/measure/measurement.ts';
export { type MeasureSensorOptions, measureSensor } from './analysis/measure/measureSensor.ts';
export { type MeasureValuesOptions, measureValues } from './analysis/measure/measureValues.ts';
export { type Climbed, type ClimbOptions, climb } from './analysis/rank/climb.ts';
export { type RankedFixes, type RankFixesOptions, rankFixes } from './analysis/rank/rankFixes.ts';
export type { FixRanking, FlownRanking, Ranking, SobolRanking } from './analysis/rank/ranking.ts';
export { type RankedSobol, type RankSobolOptions, rankSobol } from './analysis/rank/rankSobol.ts';
export type { Staircase } from './analysis/rank/staircase.ts';
export { type RankResultsOptions, rankResults } from './analysis/read/rankResults.ts';
export { type ResultsRead, readResults } from './analysis/read/readResults.ts';
export type { ControlTuning } from './analysis/tune/controlTuning.ts';
export { type TuneControlOptions, type TunedControl, tuneControl } from './analysis/tune/tuneControl.ts';
export { type Tuned, type TuneOptions, tuneRule } from './analysis/tune/tuneRule.ts';
export type { Tuning } from './analysis/tune/tuning.ts';
export { UserError } from './errors.ts';
export { OUTCOMES, OUTPUTS, type Outcome } from './flight/outputs.ts';
export { CATALOGUE } from './inputs/catalogue.ts';
export { cardPage, cardText } from './report/card.ts';
export { measurementPage } from './report/measurementPage.ts';
export { type PageOptions, page } from './report/page.ts';
export type { OpenedStudy } from './study/load.ts';
export { openStudy } from './study/load.ts';
export type { Study } from './study/study.ts';
