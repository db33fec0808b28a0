/**
 * Flights made up from a fixed seed, with no flight model behind them: a picture then changes only when its drawing
 * does.
 */
import type { FlightColumns, FlightKey } from '../../../src/analysis/flights/flightColumns.ts';
import type { StudyFacts } from '../../../src/analysis/flights/studyFacts.ts';
import { odds } from '../../../src/analysis/fly/odds.ts';
import { answers } from '../../../src/analysis/fly/summary.ts';
import { OUTCOMES, type Outcome } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import { moments } from '../../../src/inputs/moments.ts';
import { varyingInputs } from '../../../src/inputs/varying.ts';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { makeDrawing } from '../../../src/report/drawing.ts';
import { flightsInPage } from '../../../src/report/flightsInPage.ts';
import { openStudy } from '../../../src/study/load.ts';
import { counts } from '../../analysis/flights.ts';

export const { study } = await openStudy('studies/thistledown.yaml');
export const drawing = await makeDrawing();

const FLIGHTS = 120;

/** Every failure in turn, landings between; the last has no result. */
const ENDINGS: readonly Outcome[] = Array.from({ length: FLIGHTS }, (_, i) =>
  i === FLIGHTS - 1 ? 'no result' : i % 3 === 0 ? OUTCOMES[2 + ((i / 3) % (OUTCOMES.length - 2))] : 'landed',
);

function madeUp(): FlightColumns {
  const draw = stream('pictures');
  const normal = (): number => normalQuantile(draw());
  const along = (f: (outcome: Outcome, i: number) => number): Float64Array =>
    Float64Array.from(ENDINGS, (outcome, i) => (outcome === 'no result' ? Number.NaN : f(outcome, i)));
  const columns: Partial<Record<FlightKey, Float64Array>> = {};
  for (const c of varyingInputs(study)) {
    const row = CATALOGUE[c];
    const { low, high } = row;
    const chance = row.type === 'yesNo';
    const asked = study.inputs[row.key];
    if (asked === undefined) throw new Error(`${row.key} varies by no distribution`);
    const { mean, sd } = moments(asked);
    columns[row.key] = Float64Array.from(ENDINGS, () =>
      chance ? Number(draw() < 0.05) : Math.min(high, Math.max(low, mean + sd * normal())),
    );
  }
  columns['wind.speed'] = Float64Array.from(ENDINGS, () => 4 * draw());
  columns['wind.direction'] = Float64Array.from(ENDINGS, () => 1.2 + 0.4 * normal());
  columns.sink = along((outcome) => (outcome === 'lit too high' || outcome === 'lit too low' ? 4 + 6 * draw() : 0.5 + 2.4 * draw()));
  columns.slide = along((outcome) => (outcome === 'slid' ? 1.6 + draw() : 1.4 * draw()));
  columns.tilt = along((outcome) => (outcome === 'leaned' ? 0.3 + 0.2 * draw() : 0.2 * draw()));
  columns.landingEast = along(() => 3 + 6 * normal());
  columns.landingNorth = along(() => 5 * normal());
  columns.landingDistance = along((_, i) => Math.hypot(columns.landingEast?.[i] ?? 0, columns.landingNorth?.[i] ?? 0));
  columns.ignitionHeightError = along(
    (outcome) => -4 + (outcome === 'lit too high' ? -2 : outcome === 'lit too low' ? 2 : 0) + 0.5 * normal(),
  );
  columns.apogee = along(() => 45 + 3 * normal());
  columns.believedApogee = along((_, i) => (columns.apogee?.[i] ?? 0) - 3);
  return {
    outcome: Uint8Array.from(ENDINGS, (outcome) => OUTCOMES.indexOf(outcome)),
    number: Float64Array.from(ENDINGS, (_, i) => i + 1),
    columns,
  };
}

export const flights = madeUp();
export const found = answers(flights, study);
export const inPage = flightsInPage(flights);

export const facts: StudyFacts = {
  program: 'alight 9.9.9',
  title: 'Made up',
  studyHash: 'abc',
  seed: '1',
  design: 'independent',
  overrides: [],
  flightsAsked: 400,
  warnings: [],
};

/** Odds of so many landings of 400 flights, four without a result. */
export function oddsOf(landed: number): ReturnType<typeof odds> {
  return odds(counts({ landed, slid: 396 - landed, 'no result': 4 }), 0.95);
}
