import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { CATALOGUE, inputIndex } from '../../src/inputs/catalogue.ts';
import { makeSampler } from '../../src/sampling/sampler.ts';
import { openStudy } from '../../src/study/load.ts';
import { openVariant, replacementWords } from '../../src/study/openVariant.ts';
import type { Study } from '../../src/study/study.ts';
import { plainText } from './plainStudy.ts';

const folder = mkdtempSync(join(tmpdir(), 'alight-variants-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const VARIANTS = `
variants:
  replay: { phases.replay: on, computer.transitionGap: 5 ms }
  windy:
    wind.speed: { uniform: { low: 0 m/s, high: 6 m/s } }
  motor: { landing.curve: other.csv }
  heavier: { from: heavier.yaml, site.windSpeed: 1 m/s }
  wrong: { vehicle.airframe.mass: 3 s }
  nowhere: { vehicle.airframe.mas: 1 kg }
  lost: { from: nothing.yaml }
`;
const path = join(folder, 'study.yaml');
writeFileSync(path, plainText() + VARIANTS);
writeFileSync(join(folder, 'heavier.yaml'), plainText().replace('seed: 0', 'seed: 99').replace('mass: 930 g', 'mass: 1.4 kg'));
writeFileSync(join(folder, 'other.csv'), 'time_s,thrust_N\n0,0\n0.1,40\n2,10\n4,0\n');

describe('a variant', () => {
  test('is the study with its replacements, motor files too, and leaves the study itself as it is', async () => {
    const base = await openStudy(path);
    const replay = await openVariant(path, 'replay');
    expect(replay.opened.study).toEqual({
      ...base.study,
      phases: { ...base.study.phases, replay: true },
      computer: { ...base.study.computer, transitionGap: 0.005 },
    });
    expect(replacementWords(replay.variant)).toEqual(['phases.replay=on', 'computer.transitionGap=5 ms']);
    expect((await openVariant(path, 'motor')).opened.study.landing.curve.thrust).toEqual([0, 40, 10, 0]);
    expect((await openVariant(path, 'base')).opened).toEqual(base);
    expect(base.text).not.toContain('variants');
  });

  test('of another study file keeps seed, design and flights of the one that names it', async () => {
    const { study } = (await openVariant(path, 'heavier', { set: ['flights=77', 'seed=8'] })).opened;
    expect(study).toMatchObject({ flights: 77, seed: '8', site: { windSpeed: 1 } });
    const plain = (await openVariant(path, 'heavier')).opened.study;
    expect(plain.seed).toBe((await openStudy(path)).study.seed);
    expect(plain.vehicle.airframe.mass).toBe(1.4);
  });

  test.each(['independent', 'latinHypercube'])('with one more varying input leaves all other draws as they were: %s', async (design) => {
    const set = [`design=${design}`, 'air.axialFactor={normal: {sd: 8 %}}', 'timing.clockError={normal: {sd: 0.001}}'];
    const draws = (study: Study): Float64Array => {
      const inputs = new Float64Array(CATALOGUE.length);
      makeSampler(study, { kind: 'study', flights: study.flights }).draw(3, inputs);
      return inputs;
    };
    const base = draws((await openStudy(path, { set })).study);
    const windy = draws((await openVariant(path, 'windy', { set })).opened.study);
    const changed = CATALOGUE.filter((_, i) => base[i] !== windy[i]).map(({ key }) => key);
    expect(changed).toEqual(['wind.speed']);
    expect(windy[inputIndex('air.axialFactor')]).not.toBe(1);
  });

  test.each([
    ['wrong', /^.*study\.yaml:\d+:\d+ variants\.wrong\.vehicle\.airframe\.mass: vehicle\.airframe\.mass: read "3 s".*expected a mass/],
    ['nowhere', /variants\.nowhere\.vehicle\.airframe\.mas: unknown path; .*Did you mean "vehicle\.airframe\.mass"\?/],
    ['lost', /study\.yaml:\d+:\d+ variants\.lost\.from: read "nothing\.yaml": no such file/],
    ['replai', /no variant "replai"; expected one of base, replay, .*Did you mean "replay"\?/],
  ])('that cannot be: %s', async (name, message) => {
    await expect(openVariant(path, name)).rejects.toThrow(message);
  });

  test.each([
    ['a: { seed: 3 }', 'read seed; expected places that are not the luck'],
    ['base: { phases.replay: on }', 'read "base" as a name of a variant; expected another: that is the study as it is'],
    ['a: {}', 'read no replacement; expected at least one'],
    ['a: { from: 3 }', 'read 3; expected the name of a study file'],
  ])('is refused with the study where it is malformed: %s', async (entry, message) => {
    const other = join(folder, 'malformed.yaml');
    writeFileSync(other, `${plainText()}\nvariants:\n  ${entry}\n`);
    await expect(openStudy(other)).rejects.toThrow(message);
  });
});
