/** A flight in full, from a trace made up: what is drawn, and what its marks say. */
import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import type { TypicalFlight } from '../../../src/analysis/fly/typicalFlights.ts';
import type { FlightTrace } from '../../../src/flight/trace.ts';
import { typicalFlightMarkup } from '../../../src/report/pictures/flights.ts';
import { drawing } from './madeUp.ts';
import { expectKept } from './readable.ts';

const ticks = 41;
const times = Float64Array.from({ length: ticks }, (_, i) => i / 4);
const data = (key: string, f: (t: number) => number) => ({ key, unit: '', meaning: '', values: times.map(f) });
const columns = [
  data('time', (t) => t),
  data('height', (t) => 120 * Math.sin((Math.PI * t) / 10)),
  data('believedHeight', (t) => 120 * Math.sin((Math.PI * t) / 10) - 0.2 * t),
  data('speedUp', (t) => 38 * Math.cos((Math.PI * t) / 10)),
  data('believedSpeedUp', (t) => 38 * Math.cos((Math.PI * t) / 10) - 0.2),
  data('tilt', (t) => 0.01 * t),
  data('believedTilt', (t) => 0.012 * t),
];
const trace: FlightTrace = {
  columns: columns.map(({ key, unit, meaning }) => ({ key, unit, meaning })),
  data: columns.map(({ values }) => values),
  // The last three crowd within a tenth of a second.
  events: [
    { time: 2, what: 'ascent thrust ends' },
    { time: 5, what: 'apogee' },
    { time: 9.8, what: 'legs out' },
    { time: 9.85, what: 'ignition commanded' },
    { time: 9.9, what: 'landing thrust starts' },
  ].map((event) => ({ ...event, height: 0, believedHeight: 0, speedUp: 0 })),
};
const flight: TypicalFlight = {
  number: 17,
  outcome: 'lit too low',
  why: 'made up',
  traced: { rule: 'fixed-height', flight: 17, inputs: {}, outputs: { apogee: 120, noResultReason: '' }, trace, log: [] },
};
const markup = typicalFlightMarkup(drawing, flight, 'study.yaml', 'fixed-height');
const { document } = parseHTML(markup);

describe('a flight in full', () => {
  test('is drawn as when last looked at', () => expectKept('flight', markup));

  test('draws what belief is off, at a scale of its own', () => {
    const names = [...document.querySelectorAll('svg.plot')].map((svg) => svg.getAttribute('aria-label'));
    expect(names.filter((name) => name?.includes('believed minus true'))).toHaveLength(3);
    // Off by up to 2 m under a height of 120 m: ticks of the lower picture are metres.
    const ticks = [...document.querySelectorAll('.curve:first-child svg:last-child text')].map((e) => e.textContent);
    expect(ticks).toContain('−2.0');
    expect(ticks).not.toContain('100');
  });

  test('letters of events close together do not meet', () => {
    const svg = document.querySelector('.curve svg');
    const places = [...(svg?.querySelectorAll('text') ?? [])]
      .filter((e) => /^[BALITE]$/.test(e.firstChild?.textContent ?? ''))
      .map((e) => Number(/translate\(([\d.]+)/.exec(e.getAttribute('transform') ?? '')?.[1]))
      .sort((a, b) => a - b);
    expect(places).toHaveLength(5);
    // A letter of this size is at most 12 units wide; coordinates are cut to hundredths.
    for (let i = 1; i < places.length; i++) expect(places[i] - places[i - 1]).toBeGreaterThanOrEqual(12.9);
  });

  test('says the values under the pointer', () => {
    const titles = [...document.querySelectorAll('title')].map((e) => e.textContent ?? '');
    expect(titles).toContain('1.00 s: height 37.1 m, believed 36.9, off by -0.2');
  });
});
