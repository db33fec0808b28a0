/** A ranking as files of a results folder: ranking.json and ranking.arrow. Ranks nothing, writes nothing itself. */
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { UserError } from '../../errors.ts';
import { answerTable } from '../../results/answerTable.ts';
import { checkPlaces } from '../../results/wholeFile.ts';
import type { AnswerFiles, KeepOptions } from '../flights/keptResults.ts';
import type { Ranking } from './ranking.ts';
import { rankingTable } from './rankingTable.ts';

export async function rankingFiles(ranking: Ranking): Promise<AnswerFiles> {
  const table = rankingTable(ranking);
  if (table === null) return { 'ranking.json': ranking };
  const { title, studyHash, seed, design, kind } = ranking;
  return { 'ranking.json': ranking, 'ranking.arrow': await answerTable('ranking', table, { title, studyHash, seed, design, kind }) };
}

/**
 * Whether the ranking is to stand beside the flights it ranks, whose folder then stays as it is.
 * @param flights folder of the flights   @throws UserError when there is a ranking that may not be replaced
 */
export function besideItsFlights({ out, force = false }: KeepOptions, flights: string): boolean {
  if (out === undefined || resolve(out) !== resolve(flights)) return false;
  if (!force && existsSync(join(out, 'ranking.json'))) {
    throw new UserError(`${out}: holds a ranking already (ranking.json); choose another folder, or --force to replace it`);
  }
  checkPlaces(
    [
      { path: join(out, 'ranking.json'), kind: 'answers' },
      { path: join(out, 'ranking.arrow'), kind: 'arrow' },
    ],
    true,
  );
  return true;
}
