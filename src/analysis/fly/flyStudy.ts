/** Fly a study: the fleet's rows into the results folder and into the answers. The main job, end to end; prints nothing. */
import { UserError } from '../../errors.ts';
import type { FleetReport, Progress } from '../../fleet/fleet.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { Collector, SUMMARY_KEYS } from '../flights/collector.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { type Finished, flightRun, type RunOptions, type StudyFacts } from '../flights/flightRun.ts';
import { type Answers, answers, LEVEL } from './summary.ts';

/** Flights between two looks at the interval's width. */
const LOOK_EVERY = 1000;

export interface FlyOptions extends RunOptions {
  /** Name of one of the study's rules; its first when left out. */
  readonly rule?: string;
  /** Fly until the success interval is within plus or minus this share; the study's flights are then the most. */
  readonly halfWidth?: number;
  readonly onProgress?: (progress: Progress) => void;
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

/** The named rule, or the study's first. @throws UserError for a name the study does not have. */
export function ruleName(study: Study, wanted: string | undefined): string {
  if (wanted === undefined) return study.rules[0].name;
  if (study.rules.some((r) => r.name === wanted)) return wanted;
  const names = study.rules.map((r) => r.name).join(', ');
  throw new UserError(`--rule: read "${wanted}"; expected one of the study's rules: ${names}`);
}

/** @throws UserError when the folder cannot take results, the rule is unknown, or the disk fails. */
export async function flyStudy(opened: OpenedStudy, options: FlyOptions = {}): Promise<Flown> {
  const { study } = opened;
  const rule = ruleName(study, options.rule);
  const collector = new Collector(SUMMARY_KEYS);
  return flightRun(opened, [rule], options, async ({ facts, fly, finish }) => {
    const report = await fly({
      rule,
      stop: {
        limit: study.flights,
        checkEvery: options.halfWidth === undefined ? null : LOOK_EVERY,
        enough: () => options.halfWidth !== undefined && successHalfWidth(collector.counts) <= options.halfWidth,
      },
      onBatch: (batch) => collector.add(batch),
      ...(options.onProgress === undefined ? {} : { onProgress: options.onProgress }),
    });
    const summary: Summary = {
      ...facts,
      rule,
      stoppedBy: report.stoppedBy,
      halfWidth: options.halfWidth ?? null,
      lost: report.lost,
      ...answers(collector.flights(), study.limits),
    };
    return { summary, ...finish({ 'summary.json': summary }, report.stoppedBy !== 'interrupted') };
  });
}

/** Half the width of the headline interval; 1 before any flight has a result. */
function successHalfWidth(counts: readonly number[]): number {
  const counted = counts.reduce((a, b) => a + b, 0) - counts[outcomeIndex('no result')];
  if (counted === 0) return 1;
  const [low, high] = clopperPearson(counts[outcomeIndex('landed')], counted, LEVEL);
  return (high - low) / 2;
}
