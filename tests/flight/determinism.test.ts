/**
 * A flight is a pure function of (study, input vector, noise stream): the same bits whatever was flown before, by
 * whatever kit. Model section 15.
 */
import { describe, expect, it } from 'vitest';
import { flightParameters, ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import { FlightLoop } from '../../src/flight/loop.ts';
import { FlightRecord, writeRecord } from '../../src/flight/record.ts';
import { putRecord } from '../../src/flight/recordRow.ts';
import { TraceRecorder } from '../../src/flight/trace.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { kitOf } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

/** Also with what the demo leaves out: a barometer, replay, inside-tick timing, a slope, more stalls. */
const DEMO = demoStudy();
const RICH = demoStudy({
  sensors: { ...DEMO.sensors, barometer: { noise: 0.02, lag: 0.1, speedGain: 0.4, heightGain: 0.6 } },
  phases: { ...DEMO.phases, replay: true },
  computer: { ...DEMO.computer, stallRate: 2, afterStall: 'oneTick' },
  rules: [{ ...DEMO.rules[0], insideTick: true }],
  site: { ...DEMO.site, groundSlope: 0.05 },
});

/** The bits of a row. */
const bits = (row: Float64Array): bigint[] => [...new BigUint64Array(row.slice().buffer)];
const flown = (kit: ReturnType<typeof kitOf>, flight: number): bigint[] => {
  const row = new Float64Array(ROW_LENGTH);
  kit.fly(flight, row);
  return bits(row);
};

describe.each([
  ['the demo', DEMO],
  ['the demo with everything on', RICH],
])('%s', (_, study) => {
  const order = Array.from({ length: 40 }, (_, i) => i + 1);
  const kit = kitOf(study);
  const first = order.map((n) => flown(kit, n));

  it('gives the same bits again, in another order, after other flights', () => {
    for (const n of [...order].reverse()) expect(flown(kit, n)).toEqual(first[n - 1]);
  });

  it('and from a fresh kit, alone', () => {
    for (const n of [1, 17, 40]) expect(flown(kitOf(study), n)).toEqual(first[n - 1]);
  });

  it('and traced, in the other build', () => {
    for (const n of [2, 23]) {
      const inputs = new Float64Array(CATALOGUE.length);
      kit.sampler.draw(n, inputs);
      const row = new Float64Array(ROW_LENGTH);
      const parameters = flightParameters(study, study.rules[0], inputs, kit.sampler.noiseKey(n));
      const loop = new FlightLoop();
      loop.fly(parameters, new TraceRecorder());
      const record = new FlightRecord();
      writeRecord(record, loop, parameters);
      row.set(inputs);
      putRecord(record, row, CATALOGUE.length);
      expect(bits(row)).toEqual(first[n - 1]);
    }
  });

  it('no two flights are alike', () => {
    expect(new Set(first.map((row) => row.slice(CATALOGUE.length).join())).size).toBe(order.length);
  });

  it('the seed matters, 0 included', () => {
    const [zero, one] = ['0', '1'].map((seed) => flown(kitOf({ ...study, seed }), 1));
    expect(zero).not.toEqual(one);
    expect(flown(kitOf({ ...study, seed: '0' }), 1)).toEqual(zero);
  });
});

describe('noise', () => {
  it('is off without a key: gusts and stalls too, whatever the inputs ask', () => {
    const kit = kitOf(DEMO);
    const inputs = new Float64Array(CATALOGUE.length);
    kit.sampler.draw(5, inputs);
    const [a, b, noisy] = [0, 1, 2].map(() => new Float64Array(ROW_LENGTH));
    kit.flyInputs(inputs, null, a);
    kit.flyInputs(inputs, 'some key', noisy);
    kit.flyInputs(inputs, null, b);
    expect(bits(a)).toEqual(bits(b));
    expect(bits(a)).not.toEqual(bits(noisy));
  });
});
