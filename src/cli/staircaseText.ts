/** A staircase of fixes as text for a terminal. Computes nothing. */
import type { ChoosingGain, Stage, Staircase } from '../analysis/rank/staircase.ts';
import { outcomeMeaning } from '../flight/outcomeMeanings.ts';
import { alikeWords, candidacyWords, staircaseOpening, stepWords, wishWords } from '../report/staircaseWords.ts';
import { count, percent, percentInterval, withInterval } from '../report/words.ts';
import type { Touchdown } from '../study/study.ts';
import { bar, heading, table } from './terminal.ts';

const BAR = 20;
/** Candidates not taken and ways of ending that are shown. */
const FEW = 6;

/** @param model of the touchdowns flown: it decides what an ending says to look at */
export function staircaseText(r: Staircase, model: Touchdown['model']): string {
  const lines = [
    staircaseOpening(r),
    '',
    `${r.title}: ${count(r.flights)} flights of each vehicle on the luck that chooses and as many on the one that reports, by rule ${r.rule}, seed ${r.seed}`,
  ];
  if (r.programmed === null) return lines.join('\n');
  lines.push('', heading(`The way to ${wishWords(r.wish)}`), stepsTable(r));
  lines.push(
    '  landed and points on luck that had no part in choosing; bands hold for all rows together, points for all steps together (95 %, pairs);',
    '  shift: of the lighting height, where constants of its own were found to land more. could as well be: not told from the one taken by the flights that chose it',
    '  the best next step each time is not the best set of fixes: two that help only together are not found',
  );
  if (r.remaining.length > 0) lines.push('', heading('What remains'), remainingTable(r, model));
  if (r.refused.length > 0) lines.push('', heading('Looked at last and not taken: points on the luck that chooses'), refusedTable(r));
  return lines.join('\n');
}

function stepsTable({ programmed, steps, everything }: Staircase): string {
  const landed = ({ odds: { share }, band }: Stage): string[] =>
    share === null || band === null ? ['unknown', '', ''] : [percent(share, band), percentInterval(band), bar(share, BAR)];
  const rows = [
    ...(programmed === null ? [] : [['', 'as programmed', ...landed(programmed), '', '', '']]),
    ...steps.map((step, i) => [
      step.kind === 'retuning' ? '' : `${i + (steps[0].kind === 'retuning' ? 0 : 1)}.`,
      stepWords(step),
      ...landed(step),
      points(step),
      step.shift === null ? '' : withInterval(step.shift.shift, step.shift.interval),
      alikeWords(step),
    ]),
    ...(everything === null ? [] : [['', 'every spread and noise gone', ...landed(everything), '', '', '']]),
  ];
  return table(['', 'beside all before', 'landed', 'band', '', 'points gained', 'shift, m', 'could as well be'], rows, [1, 4, 7]);
}

function points({ gain, interval }: ChoosingGain): string {
  return gain === null || interval === null ? '' : withInterval(100 * gain, [100 * interval[0], 100 * interval[1]]);
}

function remainingTable({ remaining }: Staircase, model: Touchdown['model']): string {
  const rows = remaining
    .slice(0, FEW)
    .map(({ outcome, share, interval }) => [
      outcome,
      percent(share, interval),
      percentInterval(interval),
      outcomeMeaning(outcome, model).lookAt,
    ]);
  return table(['', 'of all flights', 'all together', 'look at'], rows, [0, 3]);
}

function refusedTable({ refused }: Staircase): string {
  const rows = refused.slice(0, FEW).map((one) => [candidacyWords(one), points(one)]);
  const rest = refused.length - rows.length;
  return [table(['', 'points'], rows, [0]), ...(rest > 0 ? [`  and ${rest} more; staircase.json has them`] : [])].join('\n');
}
