/**
 * Along what does success change? Bands of what can be measured on the day, then of the inputs along which it changes
 * most. As the study draws them: not what an input does alone.
 */
import type { InputRow } from '../../inputs/catalogue.ts';
import type { Study } from '../../study/study.ts';
import { column, type FlightColumns } from '../flights/flightColumns.ts';
import { type Band, bands, betweenBands } from './bands.ts';
import { drawnRows } from './drawnInputs.ts';
import { launchMass } from './launchMass.ts';

const BANDS = 10;
/** Inputs shown beside the day's conditions. */
const STRONGEST = 3;

export interface SuccessCurve {
  /** What the bands are of: the wind and the launch mass of the day, or an input. */
  readonly what: 'wind' | 'launch mass' | InputRow;
  /** SI. */
  readonly unit: string;
  readonly bands: readonly Band[];
}

export interface SuccessCurves {
  /** What can be measured on the day; the wind only when it varies. */
  readonly day: readonly SuccessCurve[];
  /** The inputs along which success changes most, strongest first, those of the day left out. */
  readonly strongest: readonly SuccessCurve[];
  /** Of how many inputs along which any change is seen they were picked. */
  readonly pickedFrom: number;
}

/** @param flights at least one, with the varying inputs */
export function successCurves(study: Study, flights: FlightColumns): SuccessCurves {
  const along = (values: Float64Array): readonly Band[] => bands(values, flights.outcome, BANDS);
  const wind = flights.columns['wind.speed'];
  const day: SuccessCurve[] = [
    ...(wind === undefined ? [] : [{ what: 'wind' as const, unit: 'm/s', bands: along(wind) }]),
    { what: 'launch mass', unit: 'kg', bands: along(launchMass(study, flights)) },
  ];
  const changing = drawnRows(study)
    .filter(({ row }) => row.type === 'number' && row.key !== 'wind.speed' && row.key !== 'airframe.mass')
    .map(({ row }) => {
      const curve: SuccessCurve = { what: row, unit: row.unit, bands: along(column(flights, row.key)) };
      return { curve, strength: betweenBands(curve.bands) };
    })
    .filter(({ strength }) => strength > 0)
    .sort((a, b) => b.strength - a.strength);
  return { day, strongest: changing.slice(0, STRONGEST).map(({ curve }) => curve), pickedFrom: changing.length };
}
