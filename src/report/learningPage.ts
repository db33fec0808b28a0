/** The page of what a logbook taught: surprise, what was narrowed, and the next attempt. Reads and writes no file. */
import type { Learning } from '../analysis/learn/learning.ts';
import { makeDrawing } from './drawing.ts';
import { figureMarkup } from './figure.ts';
import { sentence } from './findings.ts';
import { inputWords } from './inputWords.ts';
import { learnedParts } from './learningWords.ts';
import { htmlTable, paragraphs } from './markup.ts';
import { ownPage } from './ownPage.ts';
import { learnedFigures } from './pictures/learned.ts';
import { count } from './words.ts';

export async function learningPage(learning: Learning): Promise<string> {
  const { title, program, finding, logbook, attempts, warnings, lost } = learning;
  const figures = learnedFigures(await makeDrawing(), learning);
  return ownPage({
    title: `${title}: what a logbook taught`,
    finding,
    source: `From ${logbook} (${learning.logbookTitle}, ${attempts.length} attempt${attempts.length === 1 ? '' : 's'}), by ${program}.`,
    sections: [
      `<section>\n<div class="grid">${figures.map(figureMarkup).join('\n')}</div>\n</section>`,
      ...learnedParts(learning, inputWords).map(({ heading, columns, rows, label, lines }) =>
        section(heading, rows.length === 0 ? '' : htmlTable(null, columns, rows, label), lines),
      ),
      section('How it was found', '', howWords(learning)),
    ],
    warnings: [
      ...warnings,
      ...lost.map(
        ({ flight, reason }) => `flight ${flight} counts as one that showed nothing of what was seen: its worker failed twice: ${reason}`,
      ),
    ],
  });
}

function section(head: string, table: string, lines: readonly string[]): string {
  const said = lines.map((line) => (line.endsWith('.') ? sentence(line) : `${sentence(line)}.`));
  const note = said.length === 0 ? '' : `<div class="note">${paragraphs(said)}</div>`;
  return `<section><h2>${head}</h2>\n${table}\n${note}</section>`;
}

function howWords({ particles, runs, flights, seed, studyHash, overrides }: Learning): string[] {
  return [
    `${count(particles)} simulated vehicles in ${runs.length} runs from different seeds, moved by ${count(flights)} flights until they agree with the logbook as far as its errors ask, one attempt taken in after the other (tempered sequential Monte Carlo; Del Moral, Doucet and Jasra, 2006; Chopin, 2002)`,
    `study ${studyHash.slice(0, 12)}, seed ${seed}${overrides.length === 0 ? '' : `, with ${overrides.join(', ')}`}`,
    'to fly the vehicle as it is now known, give learned.yaml, beside learning.json, to alight fly, campaign, rank or card',
  ];
}
