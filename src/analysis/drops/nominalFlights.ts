/**
 * Flights with chosen inputs under any rule, without noise, gusts, stalls or sensor rounding (which noise would dither
 * away), so that what comes out is smooth in what goes in. On the calling thread; for hundreds of flights, not for
 * thousands.
 */
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import { flightParameters } from '../../flight/flightMaker.ts';
import { FlightLoop, type FlightRecorder } from '../../flight/loop.ts';
import { OUTCOMES, type Outcome, type OutputKey } from '../../flight/outputs.ts';
import { FlightRecord, writeRecord } from '../../flight/record.ts';
import { onboardModel } from '../../flight/setup.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { RuleChoice, Study } from '../../study/study.ts';

export interface NominalFlight {
  readonly outcome: Outcome;
  /** An output by key, SI; NaN when it did not happen. */
  readonly out: (key: OutputKey) => number;
  /** Believed at the last tick: height in m, descent speed in m/s. */
  readonly believedHeight: number;
  readonly believedSpeed: number;
}

export class NominalFlights {
  readonly onboard: OnboardModel;
  /** Flights flown so far. */
  flown = 0;
  readonly #study: Study;
  readonly #nominal: Float64Array;
  readonly #loop = new FlightLoop();

  constructor(study: Study) {
    this.#study = { ...study, sensors: { ...study.sensors, rounding: false } };
    this.#nominal = nominalInputs(study);
    this.onboard = onboardModel(this.#study);
  }

  /** An input's value on the nominal flight. */
  nominal(key: InputKey): number {
    return this.#nominal[inputIndex(key)];
  }

  /** s */
  get tick(): number {
    return 1 / this.#study.computer.rate;
  }

  /** @param changes inputs that differ from nominal, by key, SI   @param recorder sees every tick */
  fly(rule: RuleChoice, changes: Readonly<Partial<Record<InputKey, number>>> = {}, recorder: FlightRecorder | null = null): NominalFlight {
    const inputs = Float64Array.from(this.#nominal);
    CATALOGUE.forEach(({ key }, i) => {
      const value = changes[key];
      if (value !== undefined) inputs[i] = value;
    });
    const p = flightParameters(this.#study, rule, inputs, null);
    const loop = this.#loop;
    loop.fly(p, recorder);
    this.flown++;
    const record = new FlightRecord();
    writeRecord(record, loop, p);
    const { navigator } = loop.computer;
    return {
      outcome: OUTCOMES[record.outcome],
      out: (key) => record[key],
      believedHeight: navigator.height,
      believedSpeed: -navigator.v[2],
    };
  }
}
