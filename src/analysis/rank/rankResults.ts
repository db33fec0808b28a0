/** A results folder's flights ranked: what goes with success and sink speed, and what halved spreads would buy. Flies nothing, prints nothing. */
import { dirname } from 'node:path';
import { UserError } from '../../errors.ts';
import { programVersion } from '../../results/header.ts';
import { whatStands } from '../../results/whatStands.ts';
import { readResults } from '../read/readResults.ts';
import { rankFlown } from './rankFlown.ts';
import type { FlownRanking } from './ranking.ts';
import { groupSubjects, inputSubjects } from './rankSubjects.ts';
import { type Reweighed, reweigh } from './reweigh.ts';
import { type KeepOptions, keepRanking, prepareRanking } from './writeRanking.ts';

export interface RankResultsOptions extends KeepOptions {
  /** Whose flights; the first in the file when left out. */
  readonly rule?: string;
  readonly groups?: readonly string[];
}

/** @param path a results folder or a flights file   @throws UserError when it holds no flights, or too few, or the folder cannot take the ranking */
export async function rankResults(path: string, options: RankResultsOptions = {}): Promise<FlownRanking> {
  const folder = whatStands(path) === 'folder' ? path : dirname(path);
  const place = prepareRanking(options, folder);
  try {
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
    if (place !== null) await keepRanking(place, ranking, header.study, null, true);
    return ranking;
  } finally {
    place?.folder.close();
  }
}
