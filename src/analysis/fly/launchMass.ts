/** What stands on the pad, flight by flight. */
import { inputIndex } from '../../inputs/catalogue.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';

/** kg: airframe, both casings, both propellants; the nominal value where one does not vary. */
export function launchMass(study: Study, flights: FlightColumns): Float64Array {
  const nominal = nominalInputs(study);
  const parts = (['airframe.mass', 'ascent.propellantMass', 'landing.propellantMass'] as const).map(
    (key) => flights.columns[key] ?? new Float64Array(flights.outcome.length).fill(nominal[inputIndex(key)]),
  );
  const casings = study.ascent.casingMass + study.landing.casingMass;
  return Float64Array.from(parts[0], (airframe, i) => airframe + parts[1][i] + parts[2][i] + casings);
}
