/** The ranking's files in a results folder: ranking.json and ranking.arrow, with the study beside. Ranks nothing. */
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { UserError } from '../../errors.ts';
import { answerTable } from '../../results/answerTable.ts';
import { ResultsFolder } from '../../results/folder.ts';
import { checkPlaces } from '../../results/wholeFile.ts';
import type { RunFacts } from '../flights/flightRun.ts';
import type { Ranking } from './ranking.ts';
import { rankingTable } from './rankingTable.ts';

export interface KeepOptions {
  readonly out?: string;
  readonly force?: boolean;
}

export interface RankingFolder {
  readonly folder: ResultsFolder;
  /** The folder of the flights ranked: what is there stays. */
  readonly beside: boolean;
}

/**
 * Checks the folder before anything is flown.
 * @param flights folder of the flights that are ranked, or null when new ones are flown
 * @returns null when none is asked for   @throws UserError when the folder cannot take the ranking
 */
export function prepareRanking({ out, force = false }: KeepOptions, flights: string | null = null): RankingFolder | null {
  if (out === undefined) return null;
  const beside = flights !== null && resolve(out) === resolve(flights);
  if (beside && !force && existsSync(join(out, 'ranking.json'))) {
    throw new UserError(`${out}: holds a ranking already (ranking.json); choose another folder, or --force to replace it`);
  }
  if (beside) {
    const places = ['ranking.json', 'ranking.arrow'].map((name) => join(out, name));
    checkPlaces(
      [
        { path: places[0], kind: 'answers' },
        { path: places[1], kind: 'arrow' },
      ],
      true,
    );
  }
  return { folder: ResultsFolder.prepare(out, beside ? 'others' : force ? 'older' : 'none'), beside };
}

/**
 * @param study text of the resolved study   @param run null where nothing was flown   @param whole false after an interruption
 * @returns the folder that holds the ranking   @throws UserError when the disk is full or fails
 */
export async function keepRanking(
  { folder, beside }: RankingFolder,
  ranking: Ranking,
  study: string,
  run: RunFacts | null,
  whole: boolean,
): Promise<string> {
  folder.writeJson('ranking.json', ranking);
  const table = rankingTable(ranking);
  if (table !== null) {
    const { title, studyHash, seed, design, kind } = ranking;
    folder.write('ranking.arrow', await answerTable('ranking', table, { title, studyHash, seed, design, kind }));
  }
  if (!beside) {
    folder.write('study.yaml', study);
    if (run !== null) folder.writeJson('run.json', run);
  }
  return folder.finish(whole);
}
