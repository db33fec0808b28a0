/**
 * Fly a study: the fleet's rows into the results folder and into the answers. The main job, end to end; prints nothing.
 */
import type { FleetReport } from '../../fleet/fleet.ts';
import { flying } from '../../fleet/session.ts';
import { flightsOf } from '../../fleet/work.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import { Collector, SUMMARY_KEYS } from '../flights/collector.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { LOOK_EVERY, narrowEnough, STOPPED_NOMINAL } from './stopAtWidth.ts';
import { type Answers, answers, LEVEL } from './summary.ts';

export interface FlyOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Fly until the success interval is within plus or minus this share; the study's flights are then the most. */
  readonly halfWidth?: number;
}

/** What summary.json holds: nothing in it depends on the machine or the time. */
export interface Summary extends StudyFacts, Answers {
  readonly rule: string;
  readonly stoppedBy: FleetReport['stoppedBy'];
  /** Wanted half-width of the success interval; null: a number of flights was asked for. */
  readonly halfWidth: number | null;
  readonly lost: FleetReport['lost'];
}

export interface Flown extends Finished {
  readonly summary: Summary;
}

/** @throws UserError when the folder cannot take results, the rule is unknown, or the disk fails. */
export async function flyStudy(opened: OpenedStudy, options: FlyOptions = {}): Promise<Flown> {
  const { study } = opened;
  const { halfWidth = null, overrides = [] } = options;
  const rule = ruleByName(study, options.rule).name;
  const collector = new Collector(SUMMARY_KEYS);
  return keeping(options, (keeper) =>
    flying(options, async (session) => {
      const toFile = keeper.flightsFile(opened, [rule], overrides);
      const report = await session.fly(flightsOf(study, { rule, plan: { kind: 'study', flights: study.flights } }), {
        stop: {
          limit: study.flights,
          checkEvery: halfWidth === null ? null : LOOK_EVERY,
          enough: () => halfWidth !== null && stopsAt(collector.counts, halfWidth),
        },
        onBatch: (batch) => {
          toFile(batch, rule);
          collector.add(batch);
        },
      });
      const summary: Summary = {
        ...studyFacts(opened, overrides),
        rule,
        stoppedBy: report.stoppedBy,
        halfWidth,
        lost: report.lost,
        ...answers(collector.flights(), study, halfWidth === null ? LEVEL : STOPPED_NOMINAL),
      };
      const run = session.facts();
      return { summary, run, folder: keeper.finish({ 'summary.json': summary }, opened.text, run, report.stoppedBy !== 'interrupted') };
    }),
  );
}

function stopsAt(counts: readonly number[], halfWidth: number): boolean {
  const counted = counts.reduce((a, b) => a + b, 0) - counts[outcomeIndex('no result')];
  return narrowEnough(counts[outcomeIndex('landed')], counted, halfWidth);
}
