/**
 * A results folder's flights ranked: what goes with success and sink speed, and what halved spreads would buy. Flies
 * nothing, prints nothing.
 */
import { dirname } from 'node:path';
import { UserError } from '../../errors.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { programVersion } from '../../results/header.ts';
import { whatStands } from '../../results/whatStands.ts';
import { type Keeper, type KeepOptions, keeping } from '../flights/keptResults.ts';
import { rankFlown } from '../rank/rankFlown.ts';
import type { FlownRanking } from '../rank/ranking.ts';
import { besideItsFlights, rankingFiles } from '../rank/rankingFiles.ts';
import { groupSubjects, inputSubjects } from '../rank/rankSubjects.ts';
import { type Reweighed, reweigh } from '../rank/reweigh.ts';
import { readResults } from './readResults.ts';

export interface RankResultsOptions extends KeepOptions {
  /** Whose flights; the first in the file when left out. */
  readonly rule?: string;
  readonly groups?: readonly string[];
}

/**
 * @param path a results folder or a flights file
 * @throws UserError when it holds no flights, or too few, or the folder cannot take the ranking
 */
export async function rankResults(path: string, options: RankResultsOptions = {}): Promise<FlownRanking> {
  const folder = whatStands(path) === 'folder' ? path : dirname(path);
  const rank = async (keeper: Keeper): Promise<FlownRanking> => {
    const { flown, study, studyHash, warnings, overrides } = await readResults([path], options.rule);
    if (flown === null)
      throw new UserError(`${path}: holds no flights.arrow; rank the study itself, or a folder that \`alight fly\` wrote`);
    const { header, rule, flights } = flown;
    const groups = groupSubjects(study, options.groups ?? []);
    const inputs = inputSubjects(study);
    const measures = rankFlown(
      flights,
      inputs.flatMap(({ keys }) => keys),
      groups,
      study.seed,
      new Set(CATALOGUE.flatMap(({ key, circle }) => (circle === true ? [key] : []))),
    );
    const gain = (r: Reweighed): number => (r.refused === null ? r.gain : Number.NEGATIVE_INFINITY);
    const ranking: FlownRanking = {
      program: `alight ${programVersion()}`,
      title: study.title,
      studyHash,
      seed: study.seed,
      design: study.design,
      overrides,
      flightsAsked: header.flightsAsked,
      warnings,
      kind: 'flown',
      rule,
      ...measures,
      halved: reweigh(study, flights, [...groups, ...inputs]).sort((a, b) => gain(b) - gain(a) || 0),
    };
    keeper.finish(await rankingFiles(ranking), header.study, null, true);
    return ranking;
  };
  return keeping(options, null, rank, besideItsFlights(options, folder));
}
