/**
 * No input vector within the catalogue's bounds breaks a flight: each ends in exactly one outcome, with every number that is due, and has no
 * result only for a reason. Uniform in bounds, at corners, and each input alone at its ends. 50,000 more were flown once by hand.
 */
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/kit.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE, nominalInputs } from '../../src/inputs/catalogue.ts';
import { stream } from '../../src/maths/streams.ts';
import type { Study } from '../../src/study/study.ts';
import { kitOf } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const DEMO = demoStudy();
/** A shorter limit keeps the many vectors that hang under their legs from costing the test its time. */
const STUDY: Study = demoStudy({
  limits: { ...DEMO.limits, time: 30, radius: 100 },
  sensors: { ...DEMO.sensors, barometer: { noise: 0.02, lag: 0.1, speedGain: 0.4, heightGain: 0.6 } },
  phases: { ...DEMO.phases, replay: true },
});
const kit = kitOf(STUDY);
const row = new Float64Array(ROW_LENGTH);

/** Numbers that every flight has, whatever happened. */
const ALWAYS = ['contacts', 'hops', 'flightTime', 'tiltRising', 'tiltAscentBurn', 'rollRate', 'largestAcceleration', 'stalls'];
/** Numbers that every flight with a contact has. */
const AT_CONTACT = ['sink', 'slide', 'tilt', 'tiltRate', 'legsLocked', 'landingEast', 'landingNorth', 'landingDistance', 'contactTime'];
const out = (key: string): number => row[CATALOGUE.length + outputIndex(key)];

function fly(inputs: Float64Array, key: string): string {
  kit.flyInputs(inputs, key, row);
  const outcome = OUTCOMES[out('outcome')];
  const reason = NO_RESULT_REASONS[out('noResultReason')];
  const said = `${key}: ${outcome} ${reason}`;
  expect(outcome, said).toBeDefined();
  expect(reason !== '', said).toBe(outcome === 'no result');
  for (const { key: name, type } of OUTPUTS) {
    const x = out(name);
    if (reason === 'state not finite') continue;
    expect(x === Number.POSITIVE_INFINITY || x === Number.NEGATIVE_INFINITY, `${said}, ${name}`).toBe(false);
    if (type === 'yesNo') expect(x === 0 || x === 1, `${said}, ${name}`).toBe(true);
  }
  if (reason !== 'state not finite') for (const name of ALWAYS) expect(Number.isFinite(out(name)), `${said}, ${name}`).toBe(true);
  if (reason === '') for (const name of AT_CONTACT) expect(Number.isFinite(out(name)), `${said}, ${name}`).toBe(true);
  expect(out('flightTime'), said).toBeLessThan(31);
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

  it.each(CATALOGUE.map(({ key }, i) => [key, i] as const))('%s at its ends, the rest nominal', (key, i) => {
    for (const end of ['low', 'high'] as const) {
      const inputs = nominalInputs(STUDY);
      inputs[i] = CATALOGUE[i][end];
      fly(inputs, `${key} ${end}`);
    }
  });
});
