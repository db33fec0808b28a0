/**
 * The sampler: the same flight wherever and whenever it is drawn, and one input's change that leaves the others alone.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CATALOGUE, type InputKey, inputIndex } from '../../src/inputs/catalogue.ts';
import type { Correlation } from '../../src/inputs/correlations.ts';
import { varyingInputs } from '../../src/inputs/varying.ts';
import { independentDesign } from '../../src/sampling/design.ts';
import { makeSampler, type SamplerPlan } from '../../src/sampling/sampler.ts';
import { nominalInputs } from '../../src/study/nominal.ts';
import type { DesignKind, Study } from '../../src/study/study.ts';
import { demoStudy, demoStudyWith } from '../helpers/studyForTests.ts';
import { anyDistribution } from '../inputs/anyDistribution.ts';

const DESIGNS: readonly DesignKind[] = ['independent', 'latinHypercube', 'sobol'];
const FLIGHTS = 64;
const PLAN: SamplerPlan = { kind: 'study', flights: FLIGHTS };
const TIED: readonly Correlation[] = [
  { a: 'ascent.impulseFactor', b: 'ascent.burnTimeFactor', rank: -0.6 },
  { a: 'ascent.impulseFactor', b: 'landing.impulseFactor', rank: 0.4 },
];
const VARYING = varyingInputs(demoStudy()).map((column) => CATALOGUE[column].key);
const key = fc.constantFrom(...CATALOGUE.filter((row) => row.type === 'number').map((row) => row.key));

const drawn = (study: Study, plan: SamplerPlan, flight: number): Float64Array => {
  const out = new Float64Array(CATALOGUE.length);
  makeSampler(study, plan).draw(flight, out);
  return out;
};
const columns = (study: Study, plan: SamplerPlan, names: readonly InputKey[], flights: number): Float64Array[] => {
  const sampler = makeSampler(study, plan);
  const out = new Float64Array(CATALOGUE.length);
  const found = names.map(() => new Float64Array(flights));
  for (let i = 0; i < flights; i++) {
    sampler.draw(i + 1, out);
    for (const [k, name] of names.entries()) found[k][i] = out[inputIndex(name)];
  }
  return found;
};
const column = (study: Study, plan: SamplerPlan, name: InputKey, flights: number): Float64Array => columns(study, plan, [name], flights)[0];
/** Keys whose value differs in any of the flights. */
const changed = (a: Study, b: Study, planA: SamplerPlan = PLAN, planB: SamplerPlan = planA): InputKey[] => {
  const keys = new Set<InputKey>();
  for (let flight = 1; flight <= FLIGHTS; flight++) {
    const [x, y] = [drawn(a, planA, flight), drawn(b, planB, flight)];
    CATALOGUE.forEach((row, i) => {
      if (!Object.is(x[i], y[i])) keys.add(row.key);
    });
  }
  return [...keys];
};

describe.each(DESIGNS)('the %s design', (design) => {
  const study = demoStudy({ design, correlations: TIED });

  it('gives a flight the same inputs whatever was drawn before', () => {
    const used = makeSampler(study, PLAN);
    const out = new Float64Array(CATALOGUE.length);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: FLIGHTS }), (flight) => {
        used.draw(flight, out);
        expect(out).toEqual(drawn(study, PLAN, flight));
      }),
      { seed: 30, numRuns: 200 },
    );
  });

  it('keeps every draw within the catalogue, whatever the distribution', () => {
    fc.assert(
      fc.property(key, anyDistribution, fc.integer({ min: 1, max: FLIGHTS }), (name, d, flight) => {
        const x = drawn(demoStudy({ design, inputs: { ...study.inputs, [name]: d } }), PLAN, flight);
        CATALOGUE.forEach((row, i) => {
          expect(x[i] >= row.low && x[i] <= row.high, `${row.key} ${x[i]}`).toBe(true);
        });
      }),
      { seed: 31, numRuns: 200 },
    );
  });

  it('changes every varying input from flight to flight and no other, which stay nominal', () => {
    const nominal = nominalInputs(study);
    const rows = [1, 2, 3].map((flight) => drawn(study, PLAN, flight));
    CATALOGUE.forEach((row, i) => {
      if (!VARYING.includes(row.key)) expect(rows.map((r) => r[i])).toEqual([nominal[i], nominal[i], nominal[i]]);
      else if (row.type === 'number') expect(new Set(rows.map((r) => r[i])).size).toBe(3);
    });
  });

  it('draws other flights for another seed, and 0 is a seed', () => {
    const first = inputIndex('ascent.impulseFactor');
    const values = ['0', '1', '', '00'].map((seed) => drawn(demoStudy({ design, seed }), PLAN, 1)[first]);
    expect(new Set(values).size).toBe(4);
  });

  it('leaves all other luck alone when inputs are pinned or their spread is scaled, correlated ones too', () => {
    const plan: SamplerPlan = {
      ...PLAN,
      pins: { 'ascent.impulseFactor': 1.02, 'site.pressure': 90000 },
      spread: { 'wind.speed': 0.5, 'gyro.biasX': 0 },
    };
    expect(changed(study, study, PLAN, plan)).toEqual(['ascent.impulseFactor', 'wind.speed', 'site.pressure', 'gyro.biasX']);
    for (const flight of [1, 17]) {
      const [plain, altered] = [drawn(study, PLAN, flight), drawn(study, plan, flight)];
      expect(altered[inputIndex('ascent.impulseFactor')]).toBe(1.02);
      expect(altered[inputIndex('site.pressure')]).toBe(90000);
      expect(altered[inputIndex('gyro.biasX')]).toBe(0);
      // Uniform 0..4 halved about 2; two roundings of numbers of 4.
      const speed = inputIndex('wind.speed');
      expect(Math.abs(altered[speed] - (2 + 0.5 * (plain[speed] - 2)))).toBeLessThanOrEqual(4 * Number.EPSILON * 4);
    }
  });
});

describe('one more input that varies', () => {
  it.each(['independent', 'latinHypercube'] as const)('changes no other in the %s design, bit for bit', (design) => {
    fc.assert(
      fc.property(key, anyDistribution, (name, d) => {
        const before = demoStudy({ design });
        const after = demoStudy({ design, inputs: { ...before.inputs, [name]: d } });
        expect(changed(before, after).filter((other) => other !== name)).toEqual([]);
      }),
      { seed: 32, numRuns: 15 },
    );
  });

  it('in the Sobol’ design changes no other when its distribution does, and none before it when it is new', () => {
    const before = demoStudy({ design: 'sobol' });
    const other = demoStudy({ design: 'sobol', inputs: { ...before.inputs, 'wind.speed': { kind: 'normal', mean: 3, sd: 1 } } });
    expect(changed(before, other)).toEqual(['wind.speed']);
    const more = demoStudy({ design: 'sobol', inputs: { ...before.inputs, 'wind.gustScale': { kind: 'uniform', low: 0.5, high: 2 } } });
    const keys = changed(before, more);
    expect(keys).toContain('wind.gustScale');
    expect(keys.every((k) => inputIndex(k) >= inputIndex('wind.gustScale'))).toBe(true);
  });
});

describe('the size of a design', () => {
  it('is its own for a Latin hypercube, the sequence’s for Sobol’, and none for independent draws', () => {
    expect(DESIGNS.map((design) => makeSampler(demoStudy({ design }), PLAN).flights)).toEqual([Number.POSITIVE_INFINITY, 64, 2 ** 32]);
  });

  it('does not matter to a flight of the independent and Sobol’ designs', () => {
    for (const design of ['independent', 'sobol'] as const) {
      expect(drawn(demoStudy({ design }), { kind: 'study', flights: 5 }, 9)).toEqual(drawn(demoStudy({ design }), PLAN, 9));
    }
  });

  it.each([0, 65, 1.5, Number.NaN])('refuses flight %d of 64', (flight) => {
    expect(() => drawn(demoStudy({ design: 'latinHypercube' }), PLAN, flight)).toThrow(RangeError);
  });

  it('refuses a design of no flights, and a vector of another length', () => {
    expect(() => makeSampler(demoStudy(), { kind: 'study', flights: 0 })).toThrow(RangeError);
    expect(() => makeSampler(demoStudy(), PLAN).draw(1, new Float64Array(3))).toThrow(RangeError);
  });
});

describe('stratified designs', () => {
  it.each([
    ['latinHypercube', 1],
    ['latinHypercube', 2],
    ['latinHypercube', 3],
    ['latinHypercube', 1000],
    ['latinHypercube', 4097],
    ['sobol', 1024],
  ] as const)('%s of %d flights: one in each equal share of every input', (design, n) => {
    const study = demoStudy({ design });
    for (const [name, low, high] of [
      ['wind.speed', 0, 4],
      ['site.temperature', 278, 300],
    ] as const) {
      const x = column(study, { kind: 'study', flights: n }, name, n);
      expect(new Set(x.map((v) => Math.floor(((v - low) / (high - low)) * n))).size).toBe(n);
    }
  });

  it('Latin hypercube: two inputs are uncorrelated and the place in a share is random', () => {
    const n = 4097;
    const study = demoStudy({ design: 'latinHypercube' });
    const plan: SamplerPlan = { kind: 'study', flights: n };
    const [a, b] = columns(study, plan, ['wind.speed', 'timing.transitionGap'], n);
    const [u, v] = [a.map((x) => x / 4), b.map((x) => x / 0.05)];
    const correlation = u.reduce((sum, x, i) => sum + (x - 0.5) * (v[i] - 0.5), 0) * (12 / n);
    // 4 standard errors.
    expect(Math.abs(correlation)).toBeLessThanOrEqual(4 / Math.sqrt(n));
    const places = u.map((x) => x * n - Math.floor(x * n));
    // Mean of n uniforms: 4 standard errors of 1/sqrt(12 n); their spread, 4 of sqrt(1/180/n).
    expect(Math.abs(places.reduce((s, x) => s + x, 0) / n - 0.5)).toBeLessThanOrEqual(4 / Math.sqrt(12 * n));
    expect(Math.abs(places.reduce((s, x) => s + (x - 0.5) ** 2, 0) / n - 1 / 12)).toBeLessThanOrEqual(4 / Math.sqrt(180 * n));
  });
});

describe('over seeds', () => {
  const seeds = Array.from({ length: 600 }, (_, k) => `${k}`);
  const tie = (plan: (k: number) => SamplerPlan, design: DesignKind, a: InputKey, b: InputKey): number => {
    const pairs = seeds.map((seed, k) => {
      const x = drawn(demoStudy({ design, seed }), plan(k), 3);
      return [x[inputIndex(a)], x[inputIndex(b)]];
    });
    const [ma, mb] = [0, 1].map((i) => pairs.reduce((s, p) => s + p[i], 0) / seeds.length);
    const sum = (f: (p: number[]) => number): number => pairs.reduce((s, p) => s + f(p), 0);
    return sum(([x, y]) => (x - ma) * (y - mb)) / Math.sqrt(sum(([x]) => (x - ma) ** 2) * sum(([, y]) => (y - mb) ** 2));
  };
  // 4 standard errors.
  const limit = 4 / Math.sqrt(seeds.length);

  it.each(DESIGNS)('one flight’s inputs are uncorrelated in the %s design', (design) => {
    expect(Math.abs(tie(() => PLAN, design, 'wind.speed', 'site.temperature'))).toBeLessThanOrEqual(limit);
  });

  it('an input from A and another from B are uncorrelated', () => {
    const plan = (): SamplerPlan => ({ kind: 'pickFreeze', size: 64, fromB: ['wind.speed'], noiseFromB: false });
    expect(Math.abs(tie(plan, 'sobol', 'wind.speed', 'site.temperature'))).toBeLessThanOrEqual(limit);
  });

  it('A and B of one input are uncorrelated', () => {
    const values = seeds.map((seed) =>
      ([[], ['wind.speed']] as const).map(
        (fromB) => drawn(demoStudy({ seed }), { kind: 'pickFreeze', size: 64, fromB, noiseFromB: false }, 3)[inputIndex('wind.speed')],
      ),
    );
    // Uniform 0..4: mean 2, variance 16/12.
    const correlation = values.reduce((s, [a, b]) => s + (a - 2) * (b - 2), 0) / seeds.length / (16 / 12);
    expect(Math.abs(correlation)).toBeLessThanOrEqual(limit);
  });
});

describe('the independent design', () => {
  const n = 20_000;
  const plan: SamplerPlan = { kind: 'study', flights: n };

  it('gives each input its own mean and sd', () => {
    const expected = [
      ['ascent.impulseFactor', 1, 0.03],
      ['airframe.mass', 0.93, 0.0093],
      ['wind.speed', 2, 4 / Math.sqrt(12)],
      ['landing.igniterFails', 0.015, Math.sqrt(0.015 * 0.985)],
    ] as const;
    const drawn = columns(
      demoStudy(),
      plan,
      expected.map(([name]) => name),
      n,
    );
    for (const [i, [name, mean, sd]] of expected.entries()) {
      const x = drawn[i];
      const m = x.reduce((s, v) => s + v, 0) / n;
      const squares = x.reduce((s, v) => s + (v - m) ** 2, 0) / n;
      // 4 standard errors; of the sd the fourth moment of a rare chance decides, about 1/(2 sqrt(n p)).
      expect(Math.abs(m - mean)).toBeLessThanOrEqual((4 * sd) / Math.sqrt(n));
      const relative = name === 'landing.igniterFails' ? 1 / (2 * Math.sqrt(n * 0.015)) : 1 / Math.sqrt(2 * n);
      expect(Math.abs(Math.sqrt(squares) / sd - 1)).toBeLessThanOrEqual(4 * relative);
    }
  });

  it('reaches the rank correlation asked for', () => {
    const study = demoStudy({ correlations: TIED });
    const names = [...new Set(TIED.flatMap(({ a, b }) => [a, b]))];
    const drawn = columns(study, plan, names, n);
    const ranks = (name: InputKey): Float64Array => {
      const x = drawn[names.indexOf(name)];
      const order = Array.from(x.keys()).sort((i, j) => x[i] - x[j]);
      const r = new Float64Array(n);
      order.forEach((i, k) => {
        r[i] = k;
      });
      return r;
    };
    const spearman = (a: InputKey, b: InputKey): number => {
      const [x, y] = [ranks(a), ranks(b)];
      return 1 - (6 * x.reduce((s, v, i) => s + (v - y[i]) ** 2, 0)) / (n * (n * n - 1));
    };
    // 4 standard errors, at most 1/sqrt(n) each; the pair not named is left at a normal correlation of 0.
    for (const { a, b, rank } of TIED) expect(Math.abs(spearman(a, b) - rank)).toBeLessThanOrEqual(4 / Math.sqrt(n));
    expect(Math.abs(spearman('ascent.burnTimeFactor', 'landing.impulseFactor'))).toBeLessThanOrEqual(4 / Math.sqrt(n));
  });
});

describe('a pick-freeze block', () => {
  const study = demoStudy();
  const block = (fromB: readonly InputKey[], noiseFromB = false): SamplerPlan => ({ kind: 'pickFreeze', size: FLIGHTS, fromB, noiseFromB });

  it('takes exactly the named inputs from B', () => {
    const numbers = VARYING.filter((k) => CATALOGUE[inputIndex(k)].type === 'number');
    const all = changed(study, study, block([]), block(VARYING));
    for (const k of numbers) expect(all).toContain(k);
    expect(changed(study, study, block([]), block(['wind.speed', 'gyro.biasX']))).toEqual(['wind.speed', 'gyro.biasX']);
    expect(changed(study, study, block(VARYING), block(VARYING.filter((k) => k !== 'wind.speed')))).toEqual(['wind.speed']);
  });

  it('has as many flights as asked, evenly spread in A and in B', () => {
    for (const fromB of [[], ['wind.speed']] as const) {
      const x = column(study, block(fromB), 'wind.speed', FLIGHTS);
      expect(new Set(x.map((v) => Math.floor((v / 4) * FLIGHTS))).size).toBe(FLIGHTS);
    }
    expect(makeSampler(study, block([])).flights).toBe(FLIGHTS);
    expect(() => drawn(study, block([]), FLIGHTS + 1)).toThrow(RangeError);
  });

  it('pairs A with B without a pattern', () => {
    const n = 1024;
    for (const [name, low, high] of [
      ['wind.speed', 0, 4],
      ['site.temperature', 278, 300],
      ['timing.transitionGap', 0, 0.05],
    ] as const) {
      const [a, b] = [[], [name]].map((fromB) => column(study, { kind: 'pickFreeze', size: n, fromB, noiseFromB: false }, name, n));
      const scaled = (x: number): number => (x - low) / (high - low) - 0.5;
      // 4 standard errors of independent pairs.
      expect(Math.abs(a.reduce((s, x, i) => s + scaled(x) * scaled(b[i]), 0) * (12 / n))).toBeLessThanOrEqual(4 / Math.sqrt(n));
    }
  });

  it('has the noise of A or of B, neither that of the plain study', () => {
    const keys = [PLAN, block([]), block([], true)].map((plan) => makeSampler(study, plan).noiseKey(7));
    expect(new Set(keys).size).toBe(3);
    expect(makeSampler(study, block(['wind.speed'])).noiseKey(7)).toBe(keys[1]);
    expect(keys[0]).toBe('1/noise/7');
  });

  it('refuses to split a correlated group, and inputs that do not vary', () => {
    const tied = demoStudy({ correlations: TIED });
    expect(() => makeSampler(tied, block(['ascent.impulseFactor']))).toThrow(/all come from A or all from B/);
    const group: InputKey[] = ['ascent.impulseFactor', 'ascent.burnTimeFactor', 'landing.impulseFactor'];
    expect(changed(tied, tied, block([]), block(group))).toEqual(group);
    expect(() => makeSampler(study, block(['site.pressure']))).toThrow(RangeError);
  });
});

describe('what a sampler refuses', () => {
  it('pins outside the model, negative spreads', () => {
    expect(() => makeSampler(demoStudy(), { ...PLAN, pins: { 'wind.speed': 31 } })).toThrow(RangeError);
    expect(() => makeSampler(demoStudy(), { ...PLAN, pins: { 'wind.speed': Number.NaN } })).toThrow(RangeError);
    expect(() => makeSampler(demoStudy(), { ...PLAN, spread: { 'wind.speed': -1 } })).toThrow(RangeError);
  });

  it('correlations that cannot hold, and a truncated normal with nothing inside', () => {
    const empty = demoStudyWith({ 'airframe.mass': { kind: 'truncatedNormal', mean: 0.9, sd: 0.001, low: 1, high: 1.1 } });
    expect(() => makeSampler(empty, PLAN)).toThrow(RangeError);
    const three = [
      { a: 'wind.speed', b: 'rail.tilt', rank: 0.9 },
      { a: 'wind.speed', b: 'site.temperature', rank: 0.9 },
      { a: 'rail.tilt', b: 'site.temperature', rank: -0.9 },
    ] as const;
    expect(() => makeSampler(demoStudy({ correlations: three }), PLAN)).toThrow(/cannot all hold together/);
  });

  it('nothing of a chance of 1 or a value that came down to one: those are held', () => {
    const study = demoStudyWith({
      'landing.igniterFails': { kind: 'chance', probability: 1 },
      'airframe.mass': { kind: 'normal', mean: 1.25, sd: 0 },
    });
    const x = drawn(study, PLAN, 3);
    expect(x[inputIndex('landing.igniterFails')]).toBe(1);
    expect(x[inputIndex('airframe.mass')]).toBe(1.25);
  });
});

describe('neighbouring flights', () => {
  it('have draws that go no more together than chance', () => {
    // Lag-1 correlation of the first column's draws, squared and in standard errors: mean 1 over seeds, standard
    // deviation sqrt(2/400). Up to 1.3: false alarm 2e-5. With the number at the end of the key it was 1.65.
    const [seeds, flights] = [400, 500];
    const u = new Float64Array(1);
    let sum = 0;
    for (let seed = 1; seed <= seeds; seed++) {
      const design = independentDesign(String(seed), [0]);
      let [before, product] = [0, 0];
      for (let flight = 1; flight <= flights; flight++) {
        design.fill(flight, u);
        product += (flight === 1 ? 0 : before) * (u[0] - 0.5);
        before = u[0] - 0.5;
      }
      sum += (12 * product) ** 2 / (flights - 1);
    }
    expect(sum / seeds).toBeLessThan(1.3);
  });
});
