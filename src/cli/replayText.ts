/** A replayed log, as text for a terminal. Computes nothing. */
import type { Replay } from '../analysis/replay/replayLog.ts';
import { moment, replayFinding, ruleRows, timingWords, tooLateWords } from '../report/replayWords.ts';
import { count, plain, shown } from '../report/words.ts';
import { heading, table } from './terminal.ts';

export function replayText(replay: Replay): string[] {
  return [
    replayFinding(replay),
    '',
    ...phaseLines(replay),
    '',
    ...partingLines(replay),
    '',
    heading('When each rule would have lit'),
    table(['rule', 's', 'believed m', 'logged m', 'falling m/s', ''], ruleRows(replay), [0, 5]),
    ...indented(tooLateWords(replay)),
    '',
    heading('The loop’s timing'),
    ...indented(timingWords(replay)),
  ];
}

const indented = (lines: readonly string[]): string[] => lines.map((line) => `  ${line}`);

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
