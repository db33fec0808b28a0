/** A replayed log in words that the terminal and the page share. Computes nothing. */
import type { Replay, WouldLight } from '../analysis/replay/replayLog.ts';
import { count, plain } from './words.ts';

/** A time on the log's clock; empty where it did not come. */
export function moment(time: number | null): string {
  return time === null ? '' : time.toFixed(3);
}

/** True whatever the numbers. */
export function replayFinding({ log, partings, rules, rule }: Replay): string {
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

/** A row a rule: its name, s, believed and logged height, falling speed, and a note. */
export function ruleRows({ rules }: Replay): string[][] {
  return rules.map((one) => [one.rule, moment(one.time), cell(one.height), cell(one.loggedHeight), cell(one.speed), lightNote(one)]);
}

const cell = (value: number | null): string => (value === null ? '' : value.toFixed(2));

function lightNote({ time, tooLate }: WouldLight): string {
  return time === null ? 'would not have lit' : tooLate ? 'after the own lighting' : '';
}

/** What to know of rules that light later than the flight did; empty where none does. */
export function tooLateWords({ rules }: Replay): string[] {
  return rules.some(({ tooLate }) => tooLate)
    ? ['after the own lighting the samples are of that burn: what a later rule would have met was another fall']
    : [];
}

export function timingWords({ timing, studyRate }: Replay): string[] {
  const { samples, length, rate, jitter, stalls, stallRate, stallRateInterval, stallDuration } = timing;
  const off = Math.abs(rate / studyRate - 1);
  return [
    `${count(samples)} rows in ${plain(length)} s, usually ${plain(rate)} Hz${jitter === null ? '' : `, jitter ${plain(1000 * jitter)} ms`}; the study’s computer runs at ${plain(studyRate)} Hz${off > 0.05 ? ': not the same loop' : ''}`,
    `${count(stalls)} gaps: timing.stallRate ${plain(stallRate)} 1/s (${plain(stallRateInterval[0])} to ${plain(stallRateInterval[1])})${stallDuration === null ? '' : `, timing.stallDuration ${plain(1000 * stallDuration)} ms on the average`}`,
  ];
}
