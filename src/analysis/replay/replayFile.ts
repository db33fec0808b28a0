/** Logs replayed by the names of their files: one, or all of a logbook. */
import { dirname, join } from 'node:path';
import { UserError } from '../../errors.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import type { Logbook } from '../logbook/logbook.ts';
import { openLogbook } from '../logbook/readLogbook.ts';
import { readFlightLog } from './flightLog.ts';
import { type Replay, replayLog, ruleFlown } from './replayLog.ts';

export interface ReplayedFile {
  readonly replay: Replay;
  readonly warnings: readonly string[];
}

/** @throws UserError when the log cannot be read or the study has no such rule */
export async function replayFile(study: Study, path: string, rule: string | undefined, columns: string | null): Promise<ReplayedFile> {
  const choice = ruleByName(study, rule);
  const log = await readFlightLog(path, columns);
  return { replay: replayLog(study, log, choice), warnings: log.warnings };
}

/** Reads the logs that a logbook names. @returns warnings   @throws UserError with every problem of every log */
export async function checkLogs({ attempts, columns }: Logbook, path: string): Promise<string[]> {
  const problems: string[] = [];
  const warnings: string[] = [];
  for (const { log } of attempts) {
    if (log === null) continue;
    try {
      warnings.push(...(await readFlightLog(join(dirname(path), log), columns, `${path}: columns`)).warnings);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      problems.push(...error.problems);
    }
  }
  if (problems.length > 0) throw new UserError([...new Set(problems)]);
  return warnings;
}

/** Each attempt's log, by its rule and constants. @throws UserError likewise, or when no attempt has one */
export async function replayLogbook(study: Study, path: string): Promise<ReplayedFile[]> {
  const { attempts, columns } = await openLogbook(path, study);
  const logged = attempts.flatMap(({ log, rule, constants }) => (log === null ? [] : [{ log, rule, constants }]));
  if (logged.length === 0) throw new UserError(`${path}: no attempt has a log; expected one at least. Write log: FILE.csv under it.`);
  const found: ReplayedFile[] = [];
  for (const { log: name, rule, constants } of logged) {
    const log = await readFlightLog(join(dirname(path), name), columns, `${path}: columns`);
    found.push({ replay: replayLog(study, log, ruleFlown(study, rule, constants)), warnings: log.warnings });
  }
  return found;
}
