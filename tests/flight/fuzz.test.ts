/**
 * No input vector within the catalogue's bounds breaks a flight: each ends in exactly one outcome, with every number
 * that is due, and has no result only for a reason. Uniform in bounds, at corners, and each input alone at its ends.
 * 50,000 more were flown once by hand.
 */
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, type OutputKey, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../src/inputs/catalogue.ts';
import { stream } from '../../src/maths/streams.ts';
import { nominalInputs } from '../../src/study/nominal.ts';
import type { Study } from '../../src/study/study.ts';
import { checkedKernel } from '../helpers/checkedKernel.ts';
import { kitOf } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const DEMO = demoStudy();
/** A shorter limit keeps the many vectors that hang under their legs from costing the test its time. */
const STUDY: Study = demoStudy({
  limits: { ...DEMO.limits, time: 30, radius: 100 },
  sensors: { ...DEMO.sensors, barometer: { noise: 0.02, lag: 0.1, speedGain: 0.4, heightGain: 0.6 } },
  phases: { ...DEMO.phases, replay: true },
});
/**
 * Compiled with every index checked: a state that reads beyond an array is found here. builds.test.ts says that the
 * others fly the same.
 */
const kit = kitOf(STUDY, undefined, await checkedKernel());
const row = new Float64Array(ROW_LENGTH);

/** Numbers that every flight has, whatever happened. */
const ALWAYS = ['contacts', 'hops', 'flightTime', 'tiltRising', 'tiltAscentBurn', 'rollRate', 'largestAcceleration', 'stalls'] as const;
/** Numbers that every flight with a contact has. */
const AT_CONTACT = [
  'sink',
  'slide',
  'tilt',
  'tiltRate',
  'legsLocked',
  'landingEast',
  'landingNorth',
  'landingDistance',
  'contactTime',
] as const;
const out = (key: OutputKey): number => row[CATALOGUE.length + outputIndex(key)];

function fly(inputs: Float64Array, key: string): string {
  kit.flyInputs(inputs, key, row);
  const outcome = OUTCOMES[out('outcome')];
  const reason = NO_RESULT_REASONS[out('noResultReason')];
  const said = `${key}: ${outcome} ${reason}`;
  const wrong: string[] = [];
  if (outcome === undefined || reason === undefined) wrong.push('not in the table');
  if ((reason !== '') !== (outcome === 'no result')) wrong.push('reason');
  if (!(out('flightTime') < 31)) wrong.push('flightTime');
  if (reason !== 'state not finite') {
    for (const { key: name, type } of OUTPUTS) {
      const x = out(name);
      if (x === Number.POSITIVE_INFINITY || x === Number.NEGATIVE_INFINITY) wrong.push(name);
      if (type === 'yesNo' && x !== 0 && x !== 1) wrong.push(name);
    }
    for (const name of ALWAYS) if (!Number.isFinite(out(name))) wrong.push(name);
  }
  if (reason === '') for (const name of AT_CONTACT) if (!Number.isFinite(out(name))) wrong.push(name);
  // One expectation a flight: there are thousands.
  expect(wrong, said).toEqual([]);
  return outcome;
}

/** Uniform between each input's bounds, or at one of them. */
function vector(u: () => number, corners: boolean): Float64Array {
  return Float64Array.from(CATALOGUE, ({ low, high, type }) => {
    const x = u();
    return corners || type === 'yesNo' ? (x < 0.5 ? low : high) : low + x * (high - low);
  });
}

describe('input vectors within the bounds', () => {
  it.each([
    ['uniform', 2000],
    ['at corners', 500],
  ] as const)('%s: %d flights', (how, count) => {
    const u = stream(`fuzz/${how}`);
    for (let i = 0; i < count; i++) fly(vector(u, how === 'at corners'), `${how} ${i}`);
  });

  it('most inputs nominal, a few anywhere: flights that go far into the road', () => {
    const u = stream('fuzz/few');
    const seen = new Set<string>();
    for (let i = 0; i < 1000; i++) {
      const inputs = nominalInputs(STUDY);
      const wild = vector(u, false);
      for (let j = 0; j < 3; j++) {
        const k = Math.floor(u() * CATALOGUE.length);
        inputs[k] = wild[k];
      }
      seen.add(fly(inputs, `few ${i}`));
    }
    expect(seen.size).toBeGreaterThan(8);
  });

  it('a feather that spins itself out of the integration’s reach has no result, also when what is left of it passes the ground', () => {
    const feather = {
      'airframe.mass': 'low',
      'airframe.inertiaAxial': 'low',
      'airframe.inertiaTransverse': 'low',
      'air.rollAsymmetry': 'high',
      'air.rollDamping': 'high',
      'air.lateralFactor': 'high',
    } as const;
    const u = stream('fuzz/feather');
    let insideTick = 0;
    for (let i = 0; i < 400; i++) {
      const inputs = vector(u, true);
      CATALOGUE.forEach((row, column) => {
        const end = (feather as Partial<Record<InputKey, 'low' | 'high'>>)[row.key];
        if (end !== undefined) inputs[column] = row[end];
      });
      const outcome = fly(inputs, `feather ${i}`);
      const ticks = (out('flightTime') * STUDY.computer.rate) / (1 + inputs[inputIndex('timing.clockError')]);
      if (outcome === 'no result' && Math.abs(ticks - Math.round(ticks)) > 1e-6) insideTick++;
    }
    // Such flights end between two ticks, where a contact would have been.
    expect(insideTick).toBeGreaterThan(0);
  });

  it.each(CATALOGUE.map(({ key }, i) => [key, i] as const))('%s at its ends, the rest nominal', (key, i) => {
    for (const end of ['low', 'high'] as const) {
      const inputs = nominalInputs(STUDY);
      inputs[i] = CATALOGUE[i][end];
      fly(inputs, `${key} ${end}`);
    }
  });
});
