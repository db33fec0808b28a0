/** What tuning the control found, as text for a terminal. Computes nothing. */
import type { ControlTuning, GainAnswer, GainLine, GainPoint } from '../analysis/tune/controlTuning.ts';
import { GAIN_KEYS, GAIN_ROWS } from '../analysis/tune/gains.ts';
import { controlBlock, controlOpening, gainHead, gainNumber } from '../report/controlWords.ts';
import { staleWords } from '../report/heightWords.ts';
import { pText } from '../report/verdict.ts';
import { count, percent, percentInterval } from '../report/words.ts';
import { bar, heading, table } from './terminal.ts';

const BAR = 20;
const MARKS: Readonly<Record<GainPoint['verdict'], string>> = { best: 'best', alike: 'alike', worse: '', better: 'better' };

export function controlText(t: ControlTuning): string {
  const blocks = [
    [controlOpening(t), '', `${t.title}: gains of the attitude control, rule ${t.rule}, seed ${t.seed}`],
    [heading('Gains'), gainsTable(t), ...gainNotes(t)],
    ...(t.fresh === null ? [] : [freshLines(t.fresh)]),
    ...t.lines.map((line) => lineLines(line, t)),
    ...(t.lines.length === 0
      ? []
      : [[`  alike: cannot be told from the best by ${count(t.lineFlights)} flights each, all points of all lines together (Holm, 95 %)`]]),
    [
      `${heading('For the study file')}, beside the other keys of control`,
      ...controlBlock(t)
        .split('\n')
        .map((line) => `  ${line}`),
    ],
  ];
  return blocks.map((lines) => lines.join('\n')).join('\n\n');
}

function gainsTable({ best, present, lines }: ControlTuning): string {
  const rows = GAIN_KEYS.map((key) => {
    const line = lines.find((one) => one.key === key);
    return [
      gainHead(key),
      gainNumber(key, best[key]),
      gainNumber(key, present[key]),
      line === undefined ? '' : flatText(line),
      GAIN_ROWS[key].meaning,
    ];
  });
  return table(['', 'best', 'present', 'may be, the others at their best', ''], rows, [0, 4]);
}

/** "0.3 to 0.9", open where no point that far was shown to be worse. */
function flatText({ key, flat: { low, high, opensLow, opensHigh } }: GainLine): string {
  return `${gainNumber(key, low)}${opensLow ? ' or less' : ''} to ${gainNumber(key, high)}${opensHigh ? ' or more' : ''}`;
}

function gainNotes({ free, search, best }: ControlTuning): string[] {
  const held = GAIN_KEYS.filter((key) => !free.some((gain) => gain.key === key));
  const notes = held.length === 0 ? [] : [`  held: ${held.join(', ')}`];
  if (best.driftDamping === 0) notes.push('  drift is not damped, so driftTilt does nothing');
  if (search.some(({ aim }) => aim === 'upright touchdowns'))
    notes.push('  hardly any flight landed along some lines; the search went by touchdowns with tilt and slide within their limits there');
  return notes;
}

function freshLines(fresh: NonNullable<ControlTuning['fresh']>): string[] {
  const row = (label: string, { odds }: GainAnswer): string[] => [
    label,
    ...(odds.share === null || odds.interval === null
      ? ['unknown', '']
      : [percent(odds.share, odds.interval), percentInterval(odds.interval)]),
    `${count(odds.landed)} of ${count(odds.counted)}`,
    count(odds.noResult),
  ];
  const { counts } = fresh;
  return [
    heading(`On ${count(fresh.flights)} fresh flights, that no gain was chosen on`),
    table(['', 'landed', '95 % interval', 'flights with a result', 'without'], [row('best', fresh.best), row('present', fresh.present)]),
    `  landed by the best only ${count(counts.firstOnly)}, by the present only ${count(counts.secondOnly)} (McNemar’s exact p ${pText(fresh.p)})`,
    ...staleWords('the rule', fresh.heightMiss, 'tune the rule, then the control again').map((line) => `  ${line}`),
  ];
}

function lineLines({ key, points }: GainLine, { lineFlights }: ControlTuning): string[] {
  const rows = points.map(({ value, share, interval, verdict }) => [
    gainNumber(key, value),
    share === null || interval === null ? 'unknown' : percent(share, interval),
    interval === null ? '' : percentInterval(interval),
    bar(share ?? 0, BAR),
    MARKS[verdict],
  ]);
  return [
    heading(`Landings along ${key}, the others at their best; ${count(lineFlights)} flights each`),
    table([gainHead(key), 'landed', '95 % interval', '', ''], rows, [3, 4]),
  ];
}
