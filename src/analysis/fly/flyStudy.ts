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
import { type Finished, type FlyingOptions, IN_PLACE_OF_PARTS, keeping, refuseInParts } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { type HeightMiss, heightMissOf, MISS_KEYS } from '../shift/heightMiss.ts';
import { type HeightShift, retune, retuneBudget } from '../shift/retune.ts';
import { LOOK_EVERY, narrowEnough, STOPPED_NOMINAL } from './stopAtWidth.ts';
import { type Answers, answers, LEVEL } from './summary.ts';

export interface FlyOptions extends FlyingOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Fly until the success interval is within plus or minus this share; the study's flights are then the most. */
  readonly halfWidth?: number;
  /** Fly with the rule's lighting height shifted to where most touchdowns are soft (retune.ts). */
  readonly retune?: boolean;
}

/** What summary.json holds: nothing in it depends on the machine or the time. */
export interface Summary extends StudyFacts, Answers {
  readonly rule: string;
  readonly stoppedBy: FleetReport['stoppedBy'];
  /** Wanted half-width of the success interval; null: a number of flights was asked for. */
  readonly halfWidth: number | null;
  /** How the rule was retuned before it flew; null: it flew as programmed. */
  readonly retuned: HeightShift | null;
  /** By how much the rule lit too high or too low over these flights; null where it cannot be told. */
  readonly heightMiss: HeightMiss | null;
  readonly lost: FleetReport['lost'];
}

export interface Flown extends Finished {
  readonly summary: Summary;
}

/**
 * @throws UserError when the folder cannot take results, the rule is unknown, too few flights are asked for to retune,
 * or the disk fails.
 */
export async function flyStudy(given: OpenedStudy, options: FlyOptions = {}): Promise<Flown> {
  const { halfWidth = null } = options;
  refuseInParts(options, '--half-width', halfWidth !== null, IN_PLACE_OF_PARTS.plan);
  const rule = ruleByName(given.study, options.rule).name;
  const asked = given.study.flights;
  if (options.retune) retuneBudget(asked);
  const collector = new Collector([...SUMMARY_KEYS, ...MISS_KEYS], { expected: asked });
  return keeping(options, { command: 'fly', studies: [given] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      session.announce(asked);
      const retuned = options.retune ? await retune(session, given, [rule], asked, LEVEL) : null;
      const opened = retuned?.opened ?? given;
      const { study } = opened;
      const overrides = [...(options.overrides ?? []), ...(retuned?.overrides ?? [])];
      const toFile = keeper.flightsFile(opened, [rule], overrides);
      const report = await session.fly(flightsOf(study, { rule, plan: { kind: 'study', flights: asked } }), {
        stop: {
          limit: asked,
          checkEvery: halfWidth === null ? null : LOOK_EVERY,
          enough: () => halfWidth !== null && stopsAt(collector.counts, halfWidth),
        },
        onBatch: (batch) => {
          toFile(batch, rule);
          collector.add(batch);
        },
      });
      const flights = collector.flights();
      const summary: Summary = {
        ...studyFacts(opened, overrides),
        rule,
        stoppedBy: report.stoppedBy,
        halfWidth,
        retuned: retuned?.shifts[0] ?? null,
        heightMiss: heightMissOf(study, LEVEL)(flights),
        lost: report.lost,
        ...answers(flights, study, halfWidth === null ? LEVEL : STOPPED_NOMINAL),
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
