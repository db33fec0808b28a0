/** The page of what a logbook taught: surprise, what was narrowed, and the next attempt. Reads and writes no file. */
import type { Learning } from '../analysis/learn/learning.ts';
import { makeDrawing } from './drawing.ts';
import { figureMarkup } from './figure.ts';
import { sentence } from './findings.ts';
import { inputWords } from './inputWords.ts';
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
} from './learningWords.ts';
import { htmlTable, paragraphs } from './markup.ts';
import { ownPage } from './ownPage.ts';
import { learnedFigures } from './pictures/learned.ts';
import { count, percent, percentInterval, plain, shown } from './words.ts';

export async function learningPage(learning: Learning): Promise<string> {
  const { title, program, finding, logbook, attempts, warnings, lost } = learning;
  const figures = learnedFigures(await makeDrawing(), learning);
  return ownPage({
    title: `${title}: what a logbook taught`,
    finding,
    source: `From ${logbook} (${learning.logbookTitle}, ${attempts.length} attempt${attempts.length === 1 ? '' : 's'}), by ${program}.`,
    sections: [
      `<section>\n<div class="grid">${figures.map(figureMarkup).join('\n')}</div>\n</section>`,
      section('How surprising was what was seen?', surpriseTable(learning), surpriseWords(learning)),
      section('Is the answer settled?', '', settledWords(learning)),
      section('The next attempt', '', nextWords(learning.next)),
      section('Odds of the next attempt as the logbook grew', grownTable(learning), [GROWN_HOW]),
      section('What stays with this vehicle, and was narrowed', narrowedTable(learning), narrowedWords(learning)),
      ...moreSections(learning),
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

function surpriseTable({ surprise }: Learning): string {
  return htmlTable(
    null,
    [
      { head: 'attempt' },
      { head: 'what', align: 'left' },
      { head: 'seen', align: 'left' },
      { head: 'study: middle (5 to 95 %)' },
      { head: 'as far out' },
      { head: 'of all' },
      { head: 'surprise', align: 'left' },
    ],
    surprise.observations.map((one) => [
      one.attempt,
      inputWords(one.key),
      one.seen,
      foretoldWords(one),
      percent(one.share, one.interval),
      percent(one.adjusted, null),
      one.surprising ? 'yes' : 'no',
    ]),
    'Observations',
  );
}

function grownTable(learning: Learning): string {
  return htmlTable(
    null,
    [{ head: 'attempts known' }, { head: 'up to', align: 'left' }, { head: 'lands' }, { head: '95 % interval' }, { head: 'flights' }],
    grownRows(learning).map(({ known, attempt, odds }) => [
      `${known}`,
      attempt ?? 'none',
      percent(odds.share, odds.interval),
      percentInterval(odds.interval),
      count(odds.flights),
    ]),
    'Odds as the logbook grew',
  );
}

function narrowedTable({ narrowed }: Learning): string {
  if (narrowed.length === 0) return '';
  return htmlTable(
    null,
    [
      { head: 'input' },
      { head: 'unit', align: 'left' },
      { head: 'before: middle (5 to 95 %)' },
      { head: 'after' },
      { head: 'spread left' },
      { head: 'shift in sd' },
      { head: 'bits' },
    ],
    narrowed.map((one) => [
      inputWords(one.input),
      shown(one.unit).unit,
      rangeWords(one.before, one.unit),
      rangeWords(one.after, one.unit),
      plain(one.sdRatio),
      shiftWords(one),
      one.bits.toFixed(2),
    ]),
    'Inputs that moved',
  );
}

function narrowedWords(learning: Learning): string[] {
  return [
    learning.narrowed.length === 0
      ? 'nothing: what was seen tells hardly anything of what stays'
      : 'before and after: of the next attempt, its fresh luck and all; spread left, shift and bits: of what stays alone',
    ...hardlyWords(learning, inputWords),
  ];
}

/** Of the attempts themselves, what hangs together and what to look at: each only where there is something to say. */
function moreSections({ own, pairs, worthSeeing }: Learning): string[] {
  const sections: string[] = [];
  if (own.length > 0) {
    const rows = own.map(({ attempt, input, unit, before, after, bits }) => [
      attempt,
      inputWords(input),
      shown(unit).unit,
      rangeWords(before, unit),
      rangeWords(after, unit),
      bits.toFixed(2),
    ]);
    const heads = [
      { head: 'attempt' },
      { head: 'input', align: 'left' as const },
      { head: 'unit', align: 'left' as const },
      { head: 'before: middle (5 to 95 %)' },
      { head: 'after' },
      { head: 'bits' },
    ];
    sections.push(section('What the attempts themselves were like', htmlTable(null, heads, rows, 'Attempts'), []));
  }
  if (pairs.length > 0) {
    const rows = pairs.map(({ a, b, correlation }) => [inputWords(a), inputWords(b), correlation.toFixed(2)]);
    const heads = [{ head: 'input' }, { head: 'with', align: 'left' as const }, { head: 'correlation' }];
    sections.push(section('What now hangs together', htmlTable(null, heads, rows, 'Pairs'), []));
  }
  if (worthSeeing.length > 0) {
    const rows = worthSeeing.map(({ output, unit, error, bits, interval }) => {
      const { factor, unit: words } = shown(unit);
      const range = `${interval[0].toFixed(2)} to ${interval[1].toFixed(2)}`;
      return [output, `± ${plain(error * factor)} ${words}`, `${bits.toFixed(2)} (${range})`];
    });
    const how = 'bits about what stays with the vehicle, by a linear fit over flights of the next attempt; each output on its own';
    const table = htmlTable(null, [{ head: 'output' }, { head: 'seen to' }, { head: 'bits expected' }], rows, 'What to look at');
    sections.push(section('What to look at next time', table, [how]));
  }
  return sections;
}

function howWords({ particles, runs, flights, seed, studyHash, overrides }: Learning): string[] {
  return [
    `${count(particles)} simulated vehicles in ${runs.length} runs from different seeds, moved by ${count(flights)} flights until they agree with the logbook as far as its errors ask, one attempt taken in after the other (tempered sequential Monte Carlo; Del Moral, Doucet and Jasra, 2006; Chopin, 2002)`,
    `study ${studyHash.slice(0, 12)}, seed ${seed}${overrides.length === 0 ? '' : `, with ${overrides.join(', ')}`}`,
    'to fly the vehicle as it is now known, give learned.yaml, beside learning.json, to alight fly, campaign, rank or card',
  ];
}
