/**
 * Flights with chosen inputs under any rule, without noise, gusts, stalls or sensor rounding (which noise would dither
 * away), so that what comes out is smooth in what goes in. On the calling thread; for hundreds of flights, not for
 * thousands.
 */
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import { flightParameters } from '../../flight/flightMaker.ts';
import { setInputs, setNoise } from '../../flight/inputSetup.ts';
import { builtKernel } from '../../flight/kernel/file.ts';
import type { Kernel } from '../../flight/kernel/kernel.ts';
import { FlightLoop, type FlightRecorder } from '../../flight/loop.ts';
import { OUTCOMES, OUTPUTS, type Outcome, type OutputKey, outputIndex } from '../../flight/outputs.ts';
import { FlightRecord, writeRecord } from '../../flight/record.ts';
import { putRecord } from '../../flight/recordRow.ts';
import { onboardModel, type StudyTables, setShared, studyTables } from '../../flight/setup.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { RuleChoice, Study } from '../../study/study.ts';

export interface NominalFlight {
  readonly outcome: Outcome;
  /** An output by key, SI; NaN when it did not happen. */
  readonly out: (key: OutputKey) => number;
}

/** One for all: compiled when it is first flown with. */
let kernel: Kernel | undefined;

export class NominalFlights {
  readonly onboard: OnboardModel;
  /** Flights flown so far. */
  flown = 0;
  readonly #study: Study;
  readonly #tables: StudyTables;
  readonly #nominal: Float64Array;
  readonly #loop = new FlightLoop();

  constructor(study: Study) {
    this.#study = { ...study, sensors: { ...study.sensors, rounding: false } };
    this.#tables = studyTables(this.#study);
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

  /** @param changes inputs that differ from nominal, by key, SI   @param recorder sees every tick, which is slow */
  fly(rule: RuleChoice, changes: Readonly<Partial<Record<InputKey, number>>> = {}, recorder: FlightRecorder | null = null): NominalFlight {
    const inputs = Float64Array.from(this.#nominal);
    CATALOGUE.forEach(({ key }, i) => {
      const value = changes[key];
      if (value !== undefined) inputs[i] = value;
    });
    this.flown++;
    const outputs = new Float64Array(OUTPUTS.length);
    if (recorder === null) this.#flyCompiled(rule, inputs, outputs);
    else this.#flyRecorded(rule, inputs, recorder, outputs);
    return { outcome: OUTCOMES[outputs[outputIndex('outcome')]], out: (key) => outputs[outputIndex(key)] };
  }

  #flyCompiled(rule: RuleChoice, inputs: Float64Array, outputs: Float64Array): void {
    kernel ??= builtKernel();
    setShared(kernel.parameters, this.#study, this.#tables, rule);
    setInputs(kernel.parameters, this.#study, inputs);
    setNoise(kernel.parameters, null);
    kernel.user = this;
    kernel.fly();
    putRecord(kernel.record, outputs, 0);
  }

  /** In tsc's build, whose loop can be looked into; the same bits. */
  #flyRecorded(rule: RuleChoice, inputs: Float64Array, recorder: FlightRecorder, outputs: Float64Array): void {
    const p = flightParameters(this.#study, rule, inputs, null);
    this.#loop.fly(p, recorder);
    const record = new FlightRecord();
    writeRecord(record, this.#loop, p);
    putRecord(record, outputs, 0);
  }
}
