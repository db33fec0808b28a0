/** The page of a replayed log: one self-contained HTML text. Reads and writes no file. */
import type { Replay } from '../analysis/replay/replayLog.ts';
import { makeDrawing } from './drawing.ts';
import { figureMarkup } from './figure.ts';
import { sentence } from './findings.ts';
import { htmlTable, paragraphs } from './markup.ts';
import { ownPage } from './ownPage.ts';
import { replayedFigures } from './pictures/replayed.ts';
import { moment, replayFinding, ruleRows, timingWords, tooLateWords } from './replayWords.ts';
import { count, plain, shown } from './words.ts';

/** @param study its title   @param warnings of the log's reading */
export async function replayPage(
  replay: Replay,
  { study, program, warnings }: { readonly study: string; readonly program: string; readonly warnings: readonly string[] },
): Promise<string> {
  const figures = replayedFigures(await makeDrawing(), replay);
  return ownPage({
    title: `${replay.log}, replayed`,
    finding: replayFinding(replay),
    source: `From ${replay.log} by the flight computer of ${study} and rule ${replay.rule}, by ${program}.`,
    sections: [
      `<section>\n<div class="grid">${figures.map(figureMarkup).join('\n')}</div>\n</section>`,
      section('When each rule would have lit', rulesTable(replay), tooLateWords(replay)),
      section('Phases, s on the log’s clock', phasesTable(replay), []),
      section('Where this computer and the logged one part', partingsTable(replay), noneWords(replay)),
      section('The loop’s timing', '', timingWords(replay)),
    ],
    warnings,
  });
}

function section(head: string, table: string, lines: readonly string[]): string {
  const note = lines.length === 0 ? '' : `<div class="note">${paragraphs(lines.map((line) => `${sentence(line)}.`))}</div>`;
  return `<section><h2>${head}</h2>\n${table}\n${note}</section>`;
}

function rulesTable(replay: Replay): string {
  const heads = ['rule', 's', 'believed m', 'logged m', 'falling m/s'].map((head) => ({ head }));
  return htmlTable(null, [...heads, { head: 'note', align: 'left' }], ruleRows(replay), 'Rules');
}

function phasesTable({ phases }: Replay): string {
  const rows = phases.map(({ what, replayed, logged }) => [what, moment(replayed), moment(logged)]);
  return htmlTable(null, [{ head: 'phase' }, { head: 'replayed' }, { head: 'logged' }], rows, 'Phases');
}

function partingsTable({ partings }: Replay): string {
  if (partings.length === 0) return '';
  const rows = partings.map(({ key, unit, rows: all, same, largest, beyond, from }) => {
    const { factor, unit: words } = shown(unit);
    return [key, words, `${count(same)} of ${count(all)}`, plain(largest * factor), plain(beyond * factor), moment(from)];
  });
  const heads = ['the same on', 'largest difference', 'more than', 'from s'].map((head) => ({ head }));
  return htmlTable(null, [{ head: 'logged' }, { head: 'unit', align: 'left' }, ...heads], rows, 'Differences');
}

function noneWords({ partings }: Replay): string[] {
  return partings.length === 0 ? ['the log has no belief, phase or command to compare with'] : [];
}
