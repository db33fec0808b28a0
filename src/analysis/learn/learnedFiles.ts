/**
 * What other commands fly from: the particles as a table, and the study that draws from them. Computes no answer.
 */
import { parseDocument } from 'yaml';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { type AnswerColumn, answerTable } from '../../results/answerTable.ts';
import { joined } from '../../statistics/learning/swarm.ts';
import { resolvedYaml } from '../../study/resolved.ts';
import { LEARNED_TABLE, PRIORS, priorsText, SAMPLE } from '../../study/sample.ts';
import type { Study } from '../../study/study.ts';
import type { Learning } from './learning.ts';
import { standingParts } from './narrowed.ts';
import type { Posterior } from './posterior.ts';

export const LEARNED_FILE = 'learned.arrow';

/** A row a particle: the run it is of, then a score for each input and level that stays with the vehicle at hand. */
export async function learnedTable(study: Study, posterior: Posterior, { studyHash, seed, logbookTitle }: Learning): Promise<Uint8Array> {
  const { scores, runs } = posterior;
  const all = joined(runs.map((run) => run.scores));
  const particles = all.length / scores.dimensions;
  const parts = standingParts(posterior).flatMap((own, k) => own.map((part) => ({ ...part, input: CATALOGUE[scores.columns[k]].key })));
  const columns: AnswerColumn[] = [
    {
      key: 'run',
      unit: '',
      meaning: 'which of the runs, from 1',
      values: runs.flatMap((run, r) => new Array<number>(run.particles).fill(r + 1)),
    },
    ...parts.map(({ input, level, place }, c) => ({
      key: `score ${c}`,
      unit: '',
      meaning: `normal score of ${input} that stays by ${level}`,
      values: Array.from({ length: particles }, (_, i) => all[i * scores.dimensions + place]),
    })),
  ];
  const about = {
    studyHash,
    seed,
    logbook: logbookTitle,
    parts: JSON.stringify(parts.map(({ input, level }) => ({ input, level }))),
    [PRIORS]: priorsText(
      study,
      parts.map(({ input }) => input),
    ),
  };
  return answerTable(LEARNED_TABLE, columns, about);
}

/** The study as it was learnt with, drawing what stays from the particles beside it. */
export function learnedYaml(study: Study): string {
  const document = parseDocument(resolvedYaml(study));
  document.setIn(['inputs', SAMPLE], LEARNED_FILE);
  return document.toString({ lineWidth: 0 });
}
