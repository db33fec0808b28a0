/** A replayed log, as text for a terminal. Computes nothing. */
import type { Replay, WouldLight } from '../analysis/replay/replayLog.ts';
import { count, plain, shown } from '../report/words.ts';
import { heading, table } from './terminal.ts';

export function replayText(replay: Replay): string[] {
  return [finding(replay), '', ...phaseLines(replay), '', ...partingLines(replay), '', ...ruleLines(replay), '', ...timingLines(replay)];
}

const moment = (time: number | null): string => (time === null ? '' : time.toFixed(3));

/** True whatever the numbers. */
function finding({ log, partings, rules, rule }: Replay): string {
  const own = rules.find((one) => one.rule === rule);
  const lit =
    own === undefined || own.time === null || own.height === null
      ? `${rule} would not have lit`
      : `${rule} lights at ${own.time.toFixed(2)} s, ${plain(own.height)} m by its own belief`;
  const height = partings.find(({ key }) => key === 'height');
  if (height === undefined) return `${log}: ${lit}; the log has no believed height to compare with.`;
  if (height.same === height.rows) return `${log}: ${lit}; the believed height is the logged one at every row.`;
  const from = height.from === null ? 'and nowhere by more than' : `and from ${moment(height.from)} s on by more than`;
  return `${log}: ${lit}; the believed height differs from the logged one by ${plain(height.largest)} m at most, ${from} ${height.beyond} m.`;
}

function phaseLines({ phases }: Replay): string[] {
  const rows = phases.map(({ what, replayed, logged }) => [what, moment(replayed), moment(logged)]);
  return [heading('Phases, s on the log’s clock'), table(['', 'replayed', 'logged'], rows)];
}

function partingLines({ partings }: Replay): string[] {
  if (partings.length === 0) return [heading('Belief'), '  the log has no belief, phase or command to compare with'];
  const rows = partings.map(({ key, unit, rows: all, same, largest, beyond, from }) => {
    const { factor, unit: words } = shown(unit);
    return [key, words, `${count(same)} of ${count(all)}`, plain(largest * factor), plain(beyond * factor), moment(from)];
  });
  return [
    heading('Where this computer and the logged one part'),
    table(['logged', 'unit', 'the same on', 'largest difference', 'more than', 'from s'], rows, [0, 1]),
  ];
}

function ruleLines({ rules }: Replay): string[] {
  const rows = rules.map((one) => [one.rule, moment(one.time), cell(one.height), cell(one.loggedHeight), cell(one.speed), note(one)]);
  return [
    heading('When each rule would have lit'),
    table(['rule', 's', 'believed m', 'logged m', 'falling m/s', ''], rows, [0, 5]),
    ...(rules.some(({ tooLate }) => tooLate)
      ? ['  after the own lighting the samples are of that burn: what a later rule would have met was another fall']
      : []),
  ];
}

const cell = (value: number | null): string => (value === null ? '' : value.toFixed(2));

function note({ time, tooLate }: WouldLight): string {
  return time === null ? 'would not have lit' : tooLate ? 'after the own lighting' : '';
}

function timingLines({ timing, studyRate }: Replay): string[] {
  const { samples, length, rate, jitter, stalls, stallRate, stallRateInterval, stallDuration } = timing;
  const off = Math.abs(rate / studyRate - 1);
  return [
    heading('The loop’s timing'),
    `  ${count(samples)} rows in ${plain(length)} s, usually ${plain(rate)} Hz${jitter === null ? '' : `, jitter ${plain(1000 * jitter)} ms`}; the study’s computer runs at ${plain(studyRate)} Hz${off > 0.05 ? ': not the same loop' : ''}`,
    `  ${count(stalls)} gaps: timing.stallRate ${plain(stallRate)} 1/s (${plain(stallRateInterval[0])} to ${plain(stallRateInterval[1])})${stallDuration === null ? '' : `, timing.stallDuration ${plain(1000 * stallDuration)} ms on the average`}`,
  ];
}
