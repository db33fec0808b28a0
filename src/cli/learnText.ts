/** What a logbook taught, as text for a terminal. Computes nothing. */
import type { Learning } from '../analysis/learn/learning.ts';
import {
  foretoldWords,
  GROWN_HOW,
  grownRows,
  hardlyWords,
  nextWords,
  rangeWords,
  settledWords,
  shiftWords,
  surpriseWords,
} from '../report/learningWords.ts';
import { count, percent, percentInterval, plain, shown } from '../report/words.ts';
import { heading, table } from './terminal.ts';

export function learnText(learning: Learning): string[] {
  return [
    ...surpriseLines(learning),
    '',
    heading('Is the answer settled?'),
    ...indented(settledWords(learning)),
    '',
    heading('The next attempt'),
    ...indented(nextWords(learning.next)),
    '',
    ...grownLines(learning),
    '',
    ...narrowedLines(learning),
    ...ownLines(learning),
    ...pairLines(learning),
    ...worthLines(learning),
  ];
}

function surpriseLines(learning: Learning): string[] {
  const rows = learning.surprise.observations.map((one) => [
    one.attempt,
    one.key,
    one.seen,
    foretoldWords(one),
    percent(one.share, one.interval),
    percent(one.adjusted, null),
    one.surprising ? 'surprise' : '',
  ]);
  return [
    heading('How surprising was what was seen?'),
    table(['attempt', 'what', 'seen', 'study: middle (5 to 95 %)', 'as far out', 'of all', ''], rows, [0, 1, 2, 3, 6]),
    ...indented(surpriseWords(learning)),
  ];
}

const indented = (lines: readonly string[]): string[] => lines.map((line) => `  ${line}`);

function grownLines(learning: Learning): string[] {
  const rows = grownRows(learning).map(({ known, attempt, odds }) => [
    `${known}`,
    attempt ?? 'none',
    percent(odds.share, odds.interval),
    percentInterval(odds.interval),
    count(odds.flights),
  ]);
  return [
    heading('Odds of the next attempt as the logbook grew'),
    table(['known', 'up to', 'lands', '95 % interval', 'flights'], rows, [1]),
    `  ${GROWN_HOW}`,
  ];
}

function narrowedLines(learning: Learning): string[] {
  const rows = learning.narrowed.map((one) => [
    one.input,
    shown(one.unit).unit,
    rangeWords(one.before, one.unit),
    rangeWords(one.after, one.unit),
    plain(one.sdRatio),
    shiftWords(one),
    one.bits.toFixed(2),
  ]);
  return [
    heading('What stays with this vehicle, and was narrowed'),
    ...(rows.length === 0
      ? ['  nothing: what was seen tells hardly anything of what stays']
      : [
          table(['input', 'unit', 'before: middle (5 to 95 %)', 'after', 'spread left', 'shift in sd', 'bits'], rows, [0, 1, 2, 3]),
          '  before and after: of the next attempt, its fresh luck and all; spread left, shift and bits: of what stays alone',
        ]),
    ...indented(hardlyWords(learning, (key) => key)),
  ];
}

function ownLines({ own }: Learning): string[] {
  if (own.length === 0) return [];
  const rows = own.map(({ attempt, input, unit, before, after, bits }) => [
    attempt,
    input,
    shown(unit).unit,
    rangeWords(before, unit),
    rangeWords(after, unit),
    bits.toFixed(2),
  ]);
  return [
    '',
    heading('What the attempts themselves were like'),
    table(['attempt', 'input', 'unit', 'before: middle (5 to 95 %)', 'after', 'bits'], rows, [0, 1, 2, 3, 4]),
  ];
}

function pairLines({ pairs }: Learning): string[] {
  if (pairs.length === 0) return [];
  const rows = pairs.map(({ a, b, correlation }) => [a, b, correlation.toFixed(2)]);
  return ['', heading('What now hangs together'), table(['input', 'with', 'correlation'], rows, [0, 1])];
}

function worthLines({ worthSeeing }: Learning): string[] {
  if (worthSeeing.length === 0) return [];
  const rows = worthSeeing.map(({ output, unit, error, bits, interval }) => {
    const { factor, unit: words } = shown(unit);
    return [output, `± ${plain(error * factor)} ${words}`, `${bits.toFixed(2)} (${interval[0].toFixed(2)} to ${interval[1].toFixed(2)})`];
  });
  return [
    '',
    heading('What to look at next time'),
    table(['output', 'seen to', 'bits expected'], rows, [0, 1]),
    '  bits about what stays with the vehicle, by a linear fit over flights of the next attempt; each output on its own',
  ];
}
