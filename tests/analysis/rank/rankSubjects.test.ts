/** What is ranked, and what a fix does to a study's inputs. */
import { describe, expect, it } from 'vitest';
import { fixedPlan, halved, perfect, readFix, withoutMiddle } from '../../../src/analysis/rank/fixes.ts';
import { groupSubjects, inputSubjects, noiseSubjects } from '../../../src/analysis/rank/rankSubjects.ts';
import { UserError } from '../../../src/errors.ts';
import { CATALOGUE, inputIndex } from '../../../src/inputs/catalogue.ts';
import { makeSampler } from '../../../src/sampling/sampler.ts';
import { demoStudy, demoStudyWith } from '../../helpers/studyForTests.ts';

const study = demoStudy();
const subjects = [...groupSubjects(study, []), ...noiseSubjects(study)];

function problemsOf(work: () => unknown): readonly string[] {
  try {
    work();
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('groupSubjects', () => {
  it('puts every varying input into exactly one group, its catalogue’s', () => {
    const groups = groupSubjects(study, []);
    expect(groups.flatMap(({ keys }) => keys).sort()).toEqual(
      inputSubjects(study)
        .map(({ name }) => name)
        .sort(),
    );
    for (const { name, keys } of groups) for (const key of keys) expect(CATALOGUE[inputIndex(key)].group).toBe(name);
  });

  it('takes the user’s own out of the catalogue’s, patterns and all', () => {
    const groups = groupSubjects(study, ['spin=air.rollAsymmetry', 'biases = accelerometer.bias* , gyro.biasX']);
    expect(groups.slice(0, 2)).toEqual([
      { name: 'spin', kind: 'group', keys: ['air.rollAsymmetry'] },
      { name: 'biases', kind: 'group', keys: ['accelerometer.biasX', 'accelerometer.biasY', 'accelerometer.biasZ', 'gyro.biasX'] },
    ]);
    const of = (name: string) => groups.find((group) => group.name === name)?.keys ?? [];
    expect(of('air forces')).toEqual(['air.axialFactor', 'air.lateralFactor']);
    expect(of('accelerometer').some((key) => key.includes('bias'))).toBe(false);
    expect(groups.flatMap(({ keys }) => keys)).toHaveLength(inputSubjects(study).length);
  });

  it('names all that is wrong with groups at once', () => {
    const problems = problemsOf(() =>
      groupSubjects(study, [
        'nothing',
        'a=air.axialFacter',
        'b=site.pressure',
        'c=wind.speed',
        'd=wind.speed',
        'rail=air.axialFactor',
        'wind.speed=air.lateralFactor',
      ]),
    );
    expect(problems).toEqual([
      '--group: read "nothing"; expected name=input,input',
      '--group a: read "air.axialFacter"; expected an input that varies. Did you mean "air.axialFactor"?',
      '--group b: site.pressure does not vary in this study; give it a distribution with --set',
      '--group d: wind.speed is in c already',
      '--group rail: that name is taken; choose another',
      '--group wind.speed: that name is taken; choose another',
    ]);
  });
});

describe('noiseSubjects', () => {
  it('are those the study has', () => {
    expect(noiseSubjects(study).map(({ name }) => name)).toEqual(['gusts', 'stalls', 'sensor noise']);
    const calm = demoStudy({ site: { ...study.site, gustScale: 0 }, computer: { ...study.computer, stallRate: 0 } });
    expect(noiseSubjects(calm).map(({ name }) => name)).toEqual(['sensor noise']);
  });
});

describe('a fix', () => {
  const drawn = (fix: Parameters<typeof fixedPlan>[0], flight: number, of = study): Float64Array => {
    const row = new Float64Array(CATALOGUE.length);
    makeSampler(of, fixedPlan(fix, 1000)).draw(flight, row);
    return row;
  };

  it('perfect holds its inputs at their centres, halved draws them half as far off; nothing else of any flight moves', () => {
    const [subject] = inputSubjects(study).filter(({ name }) => name === 'accelerometer.biasX');
    const at = inputIndex('accelerometer.biasX');
    for (const flight of [1, 17, 400]) {
      const [plain, whole, half] = [null, perfect(study, subject), halved(study, subject)].map((fix) => drawn(fix, flight));
      expect(plain[at]).not.toBe(0);
      expect(whole[at]).toBe(0);
      expect(half[at]).toBeCloseTo(plain[at] / 2, 15);
      for (const row of [whole, half]) row[at] = plain[at];
      expect(whole).toEqual(plain);
      expect(half).toEqual(plain);
    }
  });

  it('of noise turns it off or halves it; noise whose strength varies has no half', () => {
    const [gusts] = noiseSubjects(study);
    expect(drawn(perfect(study, gusts), 1)[inputIndex('wind.gustScale')]).toBe(0);
    const half = halved(study, gusts);
    if (half === null) throw new Error('no half');
    expect(drawn(half, 1)[inputIndex('wind.gustScale')]).toBe(0.5);
    const varying = demoStudyWith({ 'wind.gustScale': { kind: 'uniform', low: 0, high: 2 } });
    expect(halved(varying, noiseSubjects(varying)[0])).toBeNull();
  });

  it('leaves a direction that may be any as it is, by whatever turn it is written, and says so where nothing else is left', () => {
    for (const [low, high] of [
      [0, 2 * Math.PI],
      [-Math.PI, Math.PI],
    ]) {
      const round = demoStudyWith({ 'wind.direction': { kind: 'uniform', low, high } });
      const [wind] = groupSubjects(round, []).filter(({ name }) => name === 'wind');
      expect(perfect(round, wind)?.spread).toEqual({ 'wind.speed': 0 });
      expect(withoutMiddle(round, wind.keys)).toEqual(['wind.direction']);
      const [direction] = inputSubjects(round).filter(({ name }) => name === 'wind.direction');
      expect(perfect(round, direction)).toBeNull();
      expect(halved(round, direction)).toBeNull();
      expect(() => readFix(round, 'wind.direction=perfect', groupSubjects(round, []))).toThrow(
        '--fix wind.direction=perfect: wind.direction may be any direction and has no middle to be held at; hold it at a direction, for example wind.direction=90deg',
      );
      expect(readFix(round, 'wind.direction=90deg', []).whole.pins).toEqual({ 'wind.direction': Math.PI / 2 });
    }
  });

  it('is read with units, groups, patterns and noise, whole and in parts', () => {
    const { whole, parts } = readFix(
      study,
      'ascent.impulseFactor=half, accelerometer.biasZ=0.01, rail.tilt=1 deg, wind=perfect, stalls=off',
      subjects,
    );
    expect(whole.pins).toEqual({ 'accelerometer.biasZ': 0.01, 'rail.tilt': Math.PI / 180, 'timing.stallRate': 0 });
    expect(whole.spread).toEqual({ 'ascent.impulseFactor': 0.5, 'wind.speed': 0 });
    expect(parts.map(({ name }) => name)).toEqual([
      'ascent.impulseFactor=half',
      'accelerometer.biasZ=0.01',
      'rail.tilt=1 deg',
      'wind=perfect',
      'stalls=off',
    ]);
    expect(readFix(study, 'gyro.bias*=half', subjects)).toMatchObject({
      whole: { spread: { 'gyro.biasX': 0.5, 'gyro.biasY': 0.5, 'gyro.biasZ': 0.5 } },
      parts: [],
    });
  });

  it.each([
    ['', /--fix: read ""; expected name=half/],
    ['wind', /--fix: read "wind"; expected name=half/],
    ['winds=half', /Did you mean "wind"\?/],
    ['site.pressure=half', /site.pressure does not vary/],
    ['wind.speed=40 m/s', /40 m\/s is not between 0 and 30 m\/s/],
    ['wind.speed=3 kg', /wind.speed: read "3 kg"/],
    ['landing.igniterFails=0.5', /expected 0 or 1/],
    ['wind=3', /a value needs an input to hold/],
    ['wind=off', /only gusts, stalls, sensor noise can be off/],
    ['wind=half,wind.speed=perfect', /wind.speed is changed twice/],
  ])('refuses %j', (text, message) => {
    expect(problemsOf(() => readFix(study, text, subjects)).join('\n')).toMatch(message);
  });
});
