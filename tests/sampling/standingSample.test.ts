/** Draws from what was learnt: standing parts are a particle's, fresh ones are as they were. */
import { describe, expect, it } from 'vitest';
import { CATALOGUE, inputIndex } from '../../src/inputs/catalogue.ts';
import { cdf } from '../../src/inputs/distributions.ts';
import { normalQuantile } from '../../src/maths/normal.ts';
import { makeCampaignSampler } from '../../src/sampling/campaignSampler.ts';
import { makeSampler } from '../../src/sampling/sampler.ts';
import type { StandingSample } from '../../src/study/study.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const STAYS = { 'airframe.mass': { airframe: 0.64, flight: 0.36 }, 'air.axialFactor': { airframe: 1 } } as const;
/** Two particles: (mass, axial) = (1, -2), (2, 0.5). */
const scores = Buffer.alloc(16);
for (const [i, value] of [1, -2, 2, 0.5].entries()) scores.writeFloatLE(value, 4 * i);
const SAMPLE: StandingSample = {
  particles: 2,
  parts: [
    { input: 'airframe.mass', level: 'airframe' },
    { input: 'air.axialFactor', level: 'airframe' },
  ],
  scores: scores.toString('base64'),
};
const plain = demoStudy({ stays: STAYS });
const learnt = demoStudy({ stays: STAYS, sample: SAMPLE });

const mass = plain.inputs['airframe.mass'];
const axial = plain.inputs['air.axialFactor'];
if (mass === undefined || axial === undefined) throw new Error('the demo varies both');
const score = { mass: (x: number) => normalQuantile(cdf(mass)(x)), axial: (x: number) => normalQuantile(cdf(axial)(x)) };

function drawn(study: typeof plain, flight: number): Float64Array {
  const out = new Float64Array(CATALOGUE.length);
  makeSampler(study, { kind: 'study', flights: 100 }).draw(flight, out);
  return out;
}

describe('single flights', () => {
  it('have one particle’s scores, both inputs of the same, and either particle', () => {
    const seen = new Set<number>();
    for (let flight = 1; flight <= 60; flight++) {
      const [before, after] = [drawn(plain, flight), drawn(learnt, flight)];
      const z = score.axial(after[inputIndex('air.axialFactor')]);
      const particle = Math.abs(z + 2) < 1e-6 ? 0 : 1;
      expect(z).toBeCloseTo([-2, 0.5][particle], 6);
      // Fresh part: 0.6 of the score drawn as without; standing part 0.8 of the particle's.
      const fresh = score.mass(before[inputIndex('airframe.mass')]);
      expect(score.mass(after[inputIndex('airframe.mass')])).toBeCloseTo(0.8 * [1, 2][particle] + 0.6 * fresh, 6);
      seen.add(particle);
    }
    expect(seen.size).toBe(2);
  });

  it('have all other inputs as without', () => {
    const changed = CATALOGUE.filter((_, c) => drawn(plain, 7)[c] !== drawn(learnt, 7)[c]).map(({ key }) => key);
    expect(changed).toEqual(['airframe.mass', 'air.axialFactor']);
  });
});

describe('a direction all round that was learnt of', () => {
  const direction = { 'wind.direction': { day: 0.7, flight: 0.3 } } as const;
  const known = Buffer.alloc(4);
  known.writeFloatLE(normalQuantile(0.999));
  const sample: StandingSample = {
    particles: 1,
    parts: [{ input: 'wind.direction', level: 'day' }],
    scores: known.toString('base64'),
  };
  const study = demoStudy({ stays: direction, sample });
  const column = inputIndex('wind.direction');

  // The day's part points 0.36 deg short of north: normal scores would part what north holds together.
  it('is turned from there, by as much in single flights as in campaigns', () => {
    const cosines = [0, 0];
    const n = 2000;
    const campaigns = makeCampaignSampler(study);
    const flights = makeSampler(study, { kind: 'study', flights: n });
    const out = new Float64Array(CATALOGUE.length);
    for (let i = 1; i <= n; i++) {
      flights.draw(i, out);
      cosines[0] += Math.cos(out[column]) / n;
      campaigns.draw({ campaign: 1, attempt: i, airframe: 1, batch: 1, day: 1 }, out);
      cosines[1] += Math.cos(out[column]) / n;
    }
    // Wrapped normal steps of mean cosine 0.7^0.5 about that direction; sd of a cosine below 0.3, five standard errors of 2,000.
    for (const cosine of cosines) expect(Math.abs(cosine - Math.sqrt(0.7))).toBeLessThan(0.034);
  });
});

describe('campaigns', () => {
  const at = (study: typeof plain, airframe: number, attempt: number): Float64Array => {
    const out = new Float64Array(CATALOGUE.length);
    makeCampaignSampler(study).draw({ campaign: 3, attempt, airframe, batch: 1, day: 1 }, out);
    return out;
  };
  const column = inputIndex('air.axialFactor');

  it('begin with the airframe that was learnt of, and rebuild from the prior', () => {
    const first = score.axial(at(learnt, 1, 1)[column]);
    expect([-2, 0.5].some((z) => Math.abs(z - first) < 1e-6)).toBe(true);
    expect(at(learnt, 1, 2)[column]).toBe(at(learnt, 1, 1)[column]);
    expect(at(learnt, 2, 2)[column]).toBe(at(plain, 2, 2)[column]);
  });
});
