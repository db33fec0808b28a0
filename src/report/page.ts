/** The page: one self-contained HTML text from whatever results hold. Reads and writes no file but its own script. */
import { readFileSync } from 'node:fs';
import type { Comparison } from '../analysis/compare/compareRules.ts';
import { countOutcomes, outcomeIndex } from '../analysis/flights/flightColumns.ts';
import { type Band, bands, betweenBands } from '../analysis/fly/bands.ts';
import { drawnInputs } from '../analysis/fly/drawnInputs.ts';
import { typicalFlights } from '../analysis/fly/typicalFlights.ts';
import { type FlightsRead, launchMass, type ResultsRead } from '../analysis/read/readResults.ts';
import { OUTCOMES } from '../flight/outputs.ts';
import { PAGE_MARK } from '../results/mark.ts';
import type { PageData } from './browser.ts';
import { CAUTIONS } from './cautions.ts';
import { type Drawing, makeDrawing } from './drawing.ts';
import { type Figure, figureMarkup, markSvg } from './figure.ts';
import { answerSentence, countsSentence, flightCount, sentence } from './findings.ts';
import { flightsInPage } from './flightsInPage.ts';
import { escaped, htmlTable, paragraphs, scriptCode, scriptJson } from './markup.ts';
import { PAGE_STYLE } from './pageStyle.ts';
import { endingOf } from './palette.ts';
import { bandsFigure } from './pictures/bands.ts';
import { beliefFigure } from './pictures/belief.ts';
import { causesFigure } from './pictures/causes.ts';
import { comparisonSection, ruleRows } from './pictures/comparison.ts';
import { dropsSection } from './pictures/drops.ts';
import { EVENT_KEY, typicalFlightMarkup } from './pictures/flights.ts';
import { inputsSection } from './pictures/inputs.ts';
import { landingMapFigure } from './pictures/landingMap.ts';
import { rankingSection } from './pictures/ranking.ts';
import { touchdownFigure } from './pictures/touchdown.ts';
import { tuningSection } from './pictures/tuning.ts';
import { traceCommand } from './traceCommand.ts';
import { count, duration } from './words.ts';

/** Bands of a success curve, and the inputs shown besides the launch mass, wind and temperature of the day. */
const BANDS = 10;
const MOST_CURVES = 3;

export interface PageOptions {
  /** Say how long the run took and on what: makes two machines' pages differ. */
  readonly timing?: boolean;
}

export async function page(results: ResultsRead, options: PageOptions = {}): Promise<string> {
  const drawing = await makeDrawing();
  const { study, flown, found } = results;
  const { comparison, rankings, drops, tunings } = found;
  const answers = [
    ...rankings.map((ranking) => rankingSection(drawing, ranking)),
    ...(drops === null ? [] : [dropsSection(drawing, drops)]),
    ...tunings.map((tuning, i) => tuningSection(drawing, tuning, i + 1)),
  ];
  const made = flown === null ? null : flownSections(drawing, results, flown, comparison !== null);
  const sections = [
    ...(comparison === null ? [] : [comparisonTable(comparison), comparisonSection(drawing, comparison)]),
    ...(made === null ? [] : made.ends),
    ...answers,
    ...(made === null ? [] : made.details),
  ];
  const data = made === null ? '' : made.data;
  sections.push(runSection(results, options.timing ?? false));
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${PAGE_MARK}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'">
<title>${escaped(study.title)}: simulated flights</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<header>
<h1>${escaped(study.title)}</h1>
${headline(results)}
<div class="cautions" role="note" aria-label="Cautions">${paragraphs(CAUTIONS)}</div>
</header>
<main>
${sections.filter((s) => s !== '').join('\n')}
</main>
<footer class="note">${paragraphs(CAUTIONS)}</footer>
${data}
</body>
</html>
`;
}

function headline({ flown, study }: ResultsRead): string {
  if (flown === null) return `<p class="answer">${escaped(`Answers about ${study.title}, without its flights`)}</p>`;
  const { odds } = flown.answers;
  const asked = flown.header.flightsAsked;
  const fewer = odds.flights < asked ? ` ${count(asked)} were asked for: the run was stopped, or its interval was narrow enough.` : '';
  return `<p class="answer">${escaped(answerSentence(odds))}</p>
<p>${escaped(`Rule ${flown.rule}. ${countsSentence(odds)}${fewer}`)}</p>
${flown.reasons.length === 0 ? '' : `<p>${escaped(`Without a result: ${flown.reasons.map(({ reason, count: n }) => `${reason} (${count(n)})`).join(', ')}.`)}</p>`}
<p class="note">The interval is Clopper and Pearson’s and covers the luck of the draw alone; how far the model itself is from the real vehicle it cannot say.</p>
${flown.header.overrides.length > 0 ? `<p class="note">Flown with ${flown.header.overrides.map((o) => `<code>${escaped(o)}</code>`).join(', ')} over the study’s own values.</p>` : ''}`;
}

interface FlownSections {
  /** How flights end: what everything else explains. */
  readonly ends: readonly string[];
  /** Success along what varies, flights in full, the inputs as flown: for those who read on. */
  readonly details: readonly string[];
  /** The flights for the page's script, and the script; empty when there is nothing to choose from. */
  readonly data: string;
}

function flownSections(drawing: Drawing, results: ResultsRead, flown: FlightsRead, several: boolean): FlownSections {
  const { study } = results;
  const { flights, answers, rule } = flown;
  const n = flights.outcome.length;
  if (n === 0) return { ends: [], details: [], data: '' };
  const inPage = flightsInPage(flights);
  const whose = several ? `, rule ${rule}` : '';
  const present = <T>(items: readonly (T | null)[]): T[] => items.filter((item): item is T => item !== null);
  const ends = present([causesFigure(drawing, answers.causes, answers.odds), touchdownFigure(drawing, answers.touchdown, 'sink', inPage)]);
  const touch = present([
    touchdownFigure(drawing, answers.touchdown, 'slide', inPage),
    touchdownFigure(drawing, answers.touchdown, 'tilt', inPage),
    landingMapFigure(drawing, study, flights, answers.scatter, inPage),
    beliefFigure(drawing, study, flights, inPage),
  ]);
  const curves = curveFigures(drawing, results, flown);
  const typical = typicalFlights(study, rule, flights, answers.causes, study.limits);
  const grid = (figures: readonly Figure[]): string => `<div class="grid">${figures.map(figureMarkup).join('\n')}</div>`;
  const acting = [...ends, ...touch].flatMap((f) => (f.acting === null ? [] : [f.acting]));
  const choosing = acting.length > 0 && n > 1;
  const first = [
    choosing ? filterMarkup(flights.outcome) : '',
    ends.length > 0 ? `<section><h2>How flights end${escaped(whose)}</h2>${grid(ends)}</section>` : '',
    touch.length > 0 ? `<section><h2>Touchdown, landing place, belief${escaped(whose)}</h2>${grid(touch)}</section>` : '',
  ];
  const details = [
    curves.length > 0 ? `<section><h2>Success across what varies${escaped(whose)}</h2>${grid(curves)}</section>` : '',
    typical.length === 0
      ? ''
      : `<section><h2>A few flights in full${escaped(whose)}</h2>
<p class="note">${escaped(`Thick line: true. Broken line: what the flight computer believed. ${EVENT_KEY} Chosen by the rule stated with each; flown again for this page.`)}</p>
${typical.map((flight) => typicalFlightMarkup(drawing, flight, results.studyPath, rule)).join('\n')}</section>`,
    `<section><h2>The inputs as flown</h2>${inputsSection(drawing, drawnInputs(study, flights))}</section>`,
    choosing ? chosenBox() : '',
  ];
  const still = (markup: string): string => (choosing ? markup : markup.replaceAll(' acting"', '"'));
  const shown = { ends: first.map(still), details: details.map(still) };
  if (!choosing) return { ...shown, data: '' };
  const [before, after] = traceCommand(results.studyPath, 0, rule).split(' 0 ');
  const data: PageData = {
    flights: inPage.packed,
    figures: acting,
    outcomes: OUTCOMES,
    landed: outcomeIndex('landed'),
    noResult: outcomeIndex('no result'),
    command: [`${before} `, ` ${after}`],
  };
  return {
    ...shown,
    data: `<script type="application/json" id="page-data">${scriptJson(data)}</script>
<script type="module">${scriptCode(browserScript())}</script>`,
  };
}

/** The script as built; the same file whether this one runs built or from its source. */
function browserScript(): string {
  const code = readFileSync(new URL('../../dist/report/browser.js', import.meta.url), 'utf8');
  return code
    .replace(/^\/\/\/.*\n/gm, '')
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/\n\s*\n/g, '\n');
}

/** Success over bands of the day's conditions, then of the inputs along which it changes most. */
function curveFigures(drawing: Drawing, results: ResultsRead, { flights }: FlightsRead): Figure[] {
  const { study } = results;
  const made: Figure[] = [];
  const add = (id: string, name: string, unit: string, of: readonly Band[], note: string): void => {
    const figure = bandsFigure(drawing, { id, name, unit }, of, note);
    if (figure !== null) made.push(figure);
  };
  const day = 'Shown because it can be measured on the day.';
  if (flights.columns['wind.speed'] !== undefined) {
    add('wind', 'mean wind speed', 'm/s', bands(flights.columns['wind.speed'], flights.outcome, BANDS), day);
  }
  const mass = launchMass(study, flights);
  add('mass', 'launch mass', 'kg', bands(mass, flights.outcome, BANDS), day);
  const strongest = drawnInputs(study, flights)
    .filter(({ row }) => row.type === 'number' && row.key !== 'wind.speed' && row.key !== 'airframe.mass')
    .map(({ row, values }) => {
      const of = bands(values, flights.outcome, BANDS);
      return { row, of, strength: betweenBands(of) };
    })
    .filter(({ strength }) => strength > 0)
    .sort((a, b) => b.strength - a.strength);
  for (const { row, of } of strongest.slice(0, MOST_CURVES)) {
    add(
      row.key.replaceAll('.', '-'),
      row.key,
      row.unit,
      of,
      `${sentence(row.meaning)}. One of the ${MOST_CURVES} along which success changes most among ${strongest.length} inputs; picking them makes the change look a little larger than it is.`,
    );
  }
  return made;
}

function filterMarkup(outcome: Uint8Array): string {
  const counts = countOutcomes(outcome);
  const boxes = OUTCOMES.map((name, i) =>
    counts[i] === 0
      ? ''
      : `<label><input type="checkbox" value="${i}" checked autocomplete="off">${name === 'no result' ? '' : markSvg(endingOf(name))}${escaped(name)} ${count(counts[i])}</label>`,
  );
  return `<div><fieldset class="filter"><legend>Flights to show in the pictures: by their end, by a band dragged across a picture, or one by its number</legend>
${boxes.filter((b) => b !== '').join('\n')}
<label>flight <input type="number" id="flight-number" min="1" step="1" autocomplete="off"></label></fieldset></div>`;
}

function chosenBox(): string {
  return `<div class="chosen-box" role="status" aria-live="polite" hidden><p id="chosen"></p><p id="picked"></p><button type="button" id="clear">show all</button></div>`;
}

function comparisonTable(c: Comparison): string {
  return `<section>${htmlTable(
    `Rules on the same luck, ${flightCount(c.flights)} each; 95 % intervals`,
    [
      { head: 'rule' },
      { head: 'landed' },
      { head: 'of flights' },
      { head: 'no result' },
      { head: 'median sink, m/s' },
      { head: '95 % sink, m/s' },
    ],
    ruleRows(c),
  )}</section>`;
}

function runSection(results: ResultsRead, timing: boolean): string {
  const { study, flown, run } = results;
  const design = { independent: 'independent draws', latinHypercube: 'Latin hypercube', sobol: 'scrambled Sobol’ points' }[study.design];
  const rows = [
    ['program', `alight ${results.version}`],
    ['study', study.title],
    ['study’s hash', results.studyHash],
    ['seed', study.seed],
    ['design', design],
    ...(flown === null
      ? []
      : [
          ['flights asked for, each rule', count(flown.header.flightsAsked)],
          ['flights shown here', count(flown.answers.odds.flights)],
          ['of these without a result', count(flown.answers.odds.noResult)],
          ['rules in the file', flown.header.rules.join(', ')],
        ]),
    ['values replaced', results.overrides.length === 0 ? 'none' : results.overrides.join(', ')],
    ...(timing && run !== null ? [['time', `${duration(run.seconds)} on ${run.threads} threads, Node ${run.node}`]] : []),
  ];
  const warnings = results.warnings.length === 0 ? '' : `<h3>Warnings about the study</h3>${paragraphs(results.warnings)}`;
  return `<section><h2>The run</h2>${htmlTable('The run', [{ head: '' }, { head: '', align: 'left' }], rows)}${warnings}</section>`;
}
