/**
 * The page's part on the flights of one rule: how they end, where they come down, what success goes with, a few in
 * full, the inputs as flown.
 */
import { countOutcomes, outcomeIndex } from '../analysis/flights/flightColumns.ts';
import { CONTACT_MEASURES } from '../analysis/fly/contact.ts';
import { drawnInputs } from '../analysis/fly/drawnInputs.ts';
import { type SuccessCurve, successCurves } from '../analysis/fly/successCurves.ts';
import { typicalFlights } from '../analysis/fly/typicalFlights.ts';
import type { FlightsRead, ResultsRead } from '../analysis/read/readResults.ts';
import { outcomeMeaning } from '../flight/outcomeMeanings.ts';
import { OUTCOMES } from '../flight/outputs.ts';
import type { Study } from '../study/study.ts';
import type { PageData } from './browser/pageData.ts';
import type { Drawing } from './drawing.ts';
import { type Figure, figureMarkup, markSvg } from './figure.ts';
import { sentence } from './findings.ts';
import { flightsInPage } from './flightsInPage.ts';
import { inputWords } from './inputWords.ts';
import { escaped } from './markup.ts';
import { endingOf } from './palette.ts';
import { bandsFigure } from './pictures/bands.ts';
import { beliefFigure } from './pictures/belief.ts';
import { causesFigure } from './pictures/causes.ts';
import { contactFigure } from './pictures/contact.ts';
import { EVENT_KEY, typicalFlightMarkup } from './pictures/flights.ts';
import { inputsSection } from './pictures/inputs.ts';
import { landingMapFigure } from './pictures/landingMap.ts';
import { touchdownFigure } from './pictures/touchdown.ts';
import { traceCommand } from './traceCommand.ts';
import { count } from './words.ts';

export interface FlownSections {
  /** How flights end: what everything else explains. */
  readonly ends: readonly string[];
  /** Success along what varies, flights in full, the inputs as flown: for those who read on. */
  readonly details: readonly string[];
  /** The flights for the page's script; null when there is nothing to choose from. */
  readonly data: PageData | null;
}

export function flownSections(drawing: Drawing, results: ResultsRead, flown: FlightsRead, several: boolean): FlownSections {
  const { study } = results;
  const { flights, answers, rule } = flown;
  const n = flights.outcome.length;
  if (n === 0) return { ends: [], details: [], data: null };
  const inPage = flightsInPage(flights);
  const whose = several ? `, rule ${rule}` : '';
  const present = <T>(items: readonly (T | null)[]): T[] => items.filter((item): item is T => item !== null);
  const ends = present([causesFigure(drawing, answers.causes, answers.odds), touchdownFigure(drawing, answers.touchdown, 'sink', inPage)]);
  const touch = present([
    touchdownFigure(drawing, answers.touchdown, 'slide', inPage),
    touchdownFigure(drawing, answers.touchdown, 'tilt', inPage),
    landingMapFigure(drawing, study.limits.radius, flights, answers, inPage),
    beliefFigure(drawing, study, flights, inPage),
  ]);
  const { contact } = answers;
  const legs = contact === null ? [] : present(CONTACT_MEASURES.map((measure) => contactFigure(drawing, contact, measure)));
  const curves = curveFigures(drawing, results, flown);
  const typical = typicalFlights(study, rule, flights, answers.causes);
  const grid = (figures: readonly Figure[]): string => `<div class="grid">${figures.map(figureMarkup).join('\n')}</div>`;
  const acting = [...ends, ...touch].flatMap((f) => (f.acting === null ? [] : [f.acting]));
  const choosing = acting.length > 0 && n > 1;
  const first = [
    choosing ? filterMarkup(flights.outcome) : '',
    ends.length > 0
      ? `<section><h2>How flights end${escaped(whose)}</h2>${grid(ends)}
${meaningsMarkup(flights.outcome, study.touchdown.model)}</section>`
      : '',
    touch.length > 0 ? `<section><h2>Touchdown, landing place, belief${escaped(whose)}</h2>${grid(touch)}</section>` : '',
    legs.length > 0 ? `<section><h2>Legs and ground${escaped(whose)}</h2>${grid(legs)}</section>` : '',
  ];
  const details = [
    curves.length > 0
      ? `<section><h2>Success across what varies${escaped(whose)}</h2><div class="grid row" tabindex="0" role="group" aria-label="Success across what varies">${curves.map(figureMarkup).join('\n')}</div></section>`
      : '',
    typical.length === 0
      ? ''
      : `<section><h2>A few flights in full${escaped(whose)}</h2>
<p class="note before">${escaped(`Thick line: true. Broken line: what the flight computer believed. Below each: believed minus true. ${EVENT_KEY} Chosen by the rule stated with each; flown again for this page.`)}</p>
${moreFolded(typical.map((flight) => typicalFlightMarkup(drawing, flight, results.studyPath, rule)))}</section>`,
    `<section><h2>The inputs as flown</h2>${inputsSection(drawing, drawnInputs(study, flights))}</section>`,
    choosing ? chosenBox() : '',
  ];
  const still = (markup: string): string => (choosing ? markup : markup.replaceAll(' acting"', '"'));
  const shown = { ends: first.map(still), details: details.map(still) };
  if (!choosing) return { ...shown, data: null };
  const [before, after] = traceCommand(results.studyPath, 0, rule).split(' 0 ');
  const data: PageData = {
    flights: inPage.packed,
    figures: acting,
    outcomes: OUTCOMES,
    landed: outcomeIndex('landed'),
    noResult: outcomeIndex('no result'),
    command: [`${before} `, ` ${after}`],
  };
  return { ...shown, data };
}

/** Flights in full that stand open on a narrow screen. */
const OPEN = 3;

/** The first few, and the others where they can be folded. */
function moreFolded(flights: readonly string[]): string {
  const [first, rest] = [flights.slice(0, OPEN), flights.slice(OPEN)];
  if (rest.length === 0) return first.join('\n');
  return `${first.join('\n')}
<details class="fold more" open><summary>${rest.length === 1 ? 'One more flight' : `${rest.length} more flights`}</summary>
${rest.join('\n')}
</details>`;
}

/** Success over bands of the day's conditions, then of the inputs along which it changes most. */
function curveFigures(drawing: Drawing, { study }: ResultsRead, { flights }: FlightsRead): Figure[] {
  const { day, strongest, pickedFrom } = successCurves(study, flights);
  const figure = ({ what, unit, bands }: SuccessCurve): Figure | null => {
    if (what === 'wind' || what === 'launch mass') {
      const name = what === 'wind' ? 'mean wind speed' : what;
      return bandsFigure(drawing, { id: what.replace(' ', '-'), name, unit }, bands, 'Shown because it can be measured on the day.');
    }
    const note = `${sentence(inputWords(what.key))}: ${what.meaning}. One of the ${strongest.length} along which success changes most among ${pickedFrom} inputs; picking them makes the change look a little larger than it is.`;
    return bandsFigure(drawing, { id: what.key.replaceAll('.', '-'), name: inputWords(what.key), unit }, bands, note);
  };
  return [...day, ...strongest].map(figure).filter((made): made is Figure => made !== null);
}

/** What the outcomes that occurred mean, and what to look at. */
function meaningsMarkup(outcome: Uint8Array, model: Study['touchdown']['model']): string {
  const counts = countOutcomes(outcome);
  const entries = OUTCOMES.filter((_, i) => counts[i] > 0).map((name) => {
    const { meaning, lookAt } = outcomeMeaning(name, model);
    const advice = lookAt === '' ? '' : `. Look at ${lookAt}`;
    return `<dt>${markSvg(endingOf(name))}${escaped(sentence(name))}</dt><dd>${escaped(sentence(meaning))}${escaped(advice)}.</dd>`;
  });
  return `<details class="fold"><summary>What these words mean, and what to look at</summary><dl>
${entries.join('\n')}
</dl></details>`;
}

function filterMarkup(outcome: Uint8Array): string {
  const counts = countOutcomes(outcome);
  const boxes = OUTCOMES.map((name, i) =>
    counts[i] === 0
      ? ''
      : `<label><input type="checkbox" value="${i}" checked autocomplete="off">${markSvg(endingOf(name))}${escaped(name)} ${count(counts[i])}</label>`,
  );
  return `<div><fieldset class="filter"><legend>Flights to show in the pictures: by their end, by a band dragged across a picture, or one by its number</legend>
${boxes.filter((b) => b !== '').join('\n')}
<label>flight <input type="number" id="flight-number" min="1" step="1" autocomplete="off"></label></fieldset></div>`;
}

function chosenBox(): string {
  return `<div class="chosen-box" role="status" aria-live="polite" hidden><p id="chosen"></p><p id="picked"></p><button type="button" id="clear">show all</button></div>`;
}
