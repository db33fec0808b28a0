/**
 * A few typical flights in full: height, speed and tilt as true and as believed, the difference under each, the events
 * marked.
 */

import type { TracedFlight } from '../../analysis/fly/traceFlight.ts';
import type { TypicalFlight } from '../../analysis/fly/typicalFlights.ts';
import type { FlightTrace } from '../../flight/trace.ts';
import type { Drawing, PlotOptions } from '../drawing.ts';
import { sentence } from '../findings.ts';
import { escaped } from '../markup.ts';
import { endingOf } from '../palette.ts';
import { spreadApart } from '../spreadApart.ts';
import { traceCommand } from '../traceCommand.ts';
import { decimalsFor, plain, rounded } from '../words.ts';

/** Points of a curve: the eye sees no more at this size. */
const POINTS = 160;
/** Upright strips of a picture that say the values under the pointer. */
const STRIPS = 32;

const WIDTH = 360;
const LEFT = 58;
const RIGHT = 14;
/** Room of a letter, in the picture's units, so that no two meet. */
const LETTER = 13;

/** The events marked, and the letter each goes by in the pictures. */
const MARKED: readonly (readonly [event: string, letter: string])[] = [
  ['ascent thrust ends', 'B'],
  ['apogee', 'A'],
  ['legs out', 'L'],
  ['ignition commanded', 'I'],
  ['landing thrust starts', 'T'],
  ['landing thrust ends', 'E'],
];

export const EVENT_KEY = `Marks: ${MARKED.map(([event, letter]) => `${letter} ${event}`).join(', ')}.`;

interface Measure {
  readonly name: string;
  readonly unit: string;
  readonly truth: string;
  readonly belief: string;
  readonly factor: number;
}

const MEASURES: readonly Measure[] = [
  { name: 'height', unit: 'm', truth: 'height', belief: 'believedHeight', factor: 1 },
  { name: 'upward speed', unit: 'm/s', truth: 'speedUp', belief: 'believedSpeedUp', factor: 1 },
  { name: 'tilt', unit: 'deg', truth: 'tilt', belief: 'believedTilt', factor: 180 / Math.PI },
];

/** One flight a block, three pictures each with its difference. */
export function typicalFlightMarkup(drawing: Drawing, flight: TypicalFlight, studyPath: string, rule: string): string {
  const command = `<code>${escaped(traceCommand(studyPath, flight.number, rule))}</code>`;
  const head = `<h3>Flight ${flight.number}: ${escaped(sentence(flight.outcome))}</h3>\n<p>${escaped(sentence(flight.why))}.`;
  const { traced } = flight;
  if (traced === null) {
    return `<section class="flight">${head} Not drawn: this program flies it to another end than the file says, so another version flew it.</p></section>`;
  }
  const colour = `var(--${endingOf(flight.outcome)})`;
  const curves = MEASURES.map((measure) => curvePair(drawing, flight, traced.trace, measure, colour));
  return `<section class="flight">${head} ${escaped(flightWords(traced))}</p>
<div class="curves" tabindex="0" role="group" aria-label="Curves of flight ${flight.number}">${curves.join('\n')}</div>
<p class="note">${command}</p></section>`;
}

function flightWords({ outputs }: TracedFlight): string {
  const number = (key: string): string => {
    const value = outputs[key];
    return typeof value === 'number' ? plain(value) : '–';
  };
  const reason = outputs.noResultReason === '' ? '' : ` Reason: ${outputs.noResultReason}.`;
  return `Apogee ${number('apogee')} m (believed ${number('believedApogee')} m); ignition commanded at ${number('ignitionHeight')} m (believed ${number('believedIgnitionHeight')} m); touchdown at ${number('sink')} m/s.${reason}`;
}

/** The two curves, and under them what belief is off. */
function curvePair({ Plot, draw }: Drawing, flight: TypicalFlight, trace: FlightTrace, m: Measure, colour: string): string {
  const time = dataOf(trace, 'time');
  const [truth, belief] = [dataOf(trace, m.truth), dataOf(trace, m.belief)];
  const rows = evenRows(time.length, POINTS);
  const line = (value: (row: number) => number): { t: number; v: number }[] => rows.map((i) => ({ t: time[i], v: m.factor * value(i) }));
  const end = time[time.length - 1];
  const frame: PlotOptions = { width: WIDTH, marginLeft: LEFT, marginRight: RIGHT };
  const whose = `Flight ${flight.number}, ${flight.outcome}: ${m.name}`;
  const strips = stripsOf(time, truth, belief, m);
  const events = eventsOf(trace, end);
  const hover = Plot.rect(strips, { x1: 'from', x2: 'to', fill: 'transparent', title: 'title' });
  const lines = Plot.ruleX(events, { x: 't', stroke: 'var(--line)', title: 'title' });
  const both = draw(`${whose} over time, true and believed.`, {
    ...frame,
    height: 196,
    marginTop: 34,
    marginBottom: 8,
    x: { label: null, domain: [0, end], ticks: 0 },
    y: { label: `${m.name}, ${m.unit}`, ticks: 5, grid: true, nice: true, labelOffset: 52 },
    marks: [
      lines,
      Plot.line(
        line((i) => belief[i]),
        { x: 't', y: 'v', stroke: 'var(--ink)', strokeDasharray: '4 3', strokeWidth: 1.2 },
      ),
      Plot.line(
        line((i) => truth[i]),
        { x: 't', y: 'v', stroke: colour, strokeWidth: 2 },
      ),
      Plot.text(events, { x: 'place', text: 'letter', frameAnchor: 'top', dy: -14, fill: 'var(--faint)', title: 'title' }),
      hover,
    ],
  });
  const difference = draw(`${whose}, believed minus true, over time.`, {
    ...frame,
    height: 116,
    marginTop: 8,
    x: { label: 'time, s', domain: [0, end], ticks: 6 },
    y: { label: 'off by', ticks: 3, grid: true, nice: true, labelOffset: 52 },
    marks: [
      lines,
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
      Plot.line(
        line((i) => belief[i] - truth[i]),
        { x: 't', y: 'v', stroke: 'var(--ink)', strokeWidth: 1.4 },
      ),
      hover,
    ],
  });
  return `<div class="curve">${both.svg}${difference.svg}</div>`;
}

interface Event {
  readonly t: number;
  readonly letter: string;
  readonly title: string;
  /** Where its letter stands, s: beside its time where another is near. */
  readonly place: number;
}

function eventsOf(trace: FlightTrace, end: number): readonly Event[] {
  const events = MARKED.flatMap(([what, letter]) => {
    const event = trace.events.find((e) => e.what === what);
    return event === undefined ? [] : [{ t: event.time, letter, title: `${what} at ${event.time.toFixed(2)} s` }];
  }).sort((a, b) => a.t - b.t);
  const secondsPerUnit = end / (WIDTH - LEFT - RIGHT);
  const places = spreadApart(
    events.map(({ t }) => t),
    LETTER * secondsPerUnit,
    0,
    end,
  );
  return events.map((event, i) => ({ ...event, place: places[i] }));
}

/** Strips side by side over the time, each with the values at its middle, as words. */
function stripsOf(time: Float64Array, truth: Float64Array, belief: Float64Array, m: Measure): object[] {
  const middles = evenRows(time.length, Math.min(STRIPS, time.length));
  // Digits by what belief is off, which is to be read.
  const off = truth.reduce((most, v, i) => Math.max(most, Math.abs(m.factor * (belief[i] - v))), 0);
  const d = decimalsFor(off / 4);
  return middles.map((row, k) => {
    const words = (value: number): string => rounded(m.factor * value, d);
    const before = k === 0 ? row : middles[k - 1];
    const after = k === middles.length - 1 ? row : middles[k + 1];
    return {
      from: 0.5 * (time[before] + time[row]),
      to: 0.5 * (time[row] + time[after]),
      title: `${time[row].toFixed(2)} s: ${m.name} ${words(truth[row])} ${m.unit}, believed ${words(belief[row])}, off by ${words(belief[row] - truth[row])}`,
    };
  });
}

function dataOf(trace: FlightTrace, key: string): Float64Array {
  const place = trace.columns.findIndex((column) => column.key === key);
  const data = trace.data[place];
  if (data === undefined) throw new Error(`a trace has no column ${key}`);
  return data;
}

/** Evenly spaced rows, the first and the last among them. */
function evenRows(length: number, most: number): number[] {
  const n = Math.min(length, most);
  return Array.from({ length: n }, (_, k) => (n === 1 ? 0 : Math.round((k * (length - 1)) / (n - 1))));
}
