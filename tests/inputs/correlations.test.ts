/** Correlations: grouping, and what is refused with which words. */
import { describe, expect, it } from 'vitest';
import { CATALOGUE, INPUT_INDEX, type InputKey } from '../../src/inputs/catalogue.ts';
import { type Correlation, correlatedGroups, correlationProblems, type WrittenCorrelation } from '../../src/inputs/correlations.ts';
import { varyingInputs } from '../../src/inputs/varying.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const varying = new Set(varyingInputs(demoStudy()).map((column) => CATALOGUE[column].key));
const problems = (...correlations: WrittenCorrelation[]) => correlationProblems(correlations, (key) => varying.has(key));
const pair = (a: InputKey, b: InputKey, rank: number): Correlation => ({ a, b, rank });

describe('groups', () => {
  it('join inputs that are tied through others, in catalogue order', () => {
    const groups = correlatedGroups([
      pair('wind.speed', 'site.temperature', 0.2),
      pair('landing.impulseFactor', 'ascent.impulseFactor', 0.3),
      pair('gyro.biasX', 'wind.speed', -0.1),
    ]);
    const column = (key: string) => INPUT_INDEX.get(key);
    expect(groups.map((g) => g.columns)).toEqual([
      [column('ascent.impulseFactor'), column('landing.impulseFactor')],
      [column('wind.speed'), column('site.temperature'), column('gyro.biasX')],
    ]);
  });
});

describe('what is refused', () => {
  it('nothing when all is well', () => {
    expect(problems(pair('wind.speed', 'site.temperature', 0.2), pair('wind.speed', 'rail.tilt', -0.95))).toEqual([]);
  });

  it('an unknown input, one that does not vary, and a rank out of range, all at once', () => {
    expect(problems({ a: 'wind.sped', b: 'site.pressure', rank: 1 })).toEqual([
      { index: 0, part: 'a', text: 'read "wind.sped"; expected the key of an input. Did you mean "wind.speed"?' },
      {
        index: 0,
        part: 'b',
        text: 'read "site.pressure", which does not vary; expected an input that does. Give it a distribution, or remove the correlation.',
      },
      { index: 0, part: 'rank', text: 'read 1; expected a rank correlation between -1 and 1, ends left out. Weaken it.' },
    ]);
  });

  it('does not ask whether inputs vary while that is not known', () => {
    expect(correlationProblems([pair('wind.speed', 'site.pressure', 0.1)], null)).toEqual([]);
  });

  it('an input with itself, and a pair given twice in either order', () => {
    expect(problems(pair('wind.speed', 'wind.speed', 0.5))).toEqual([
      { index: 0, part: 'pair', text: 'read "wind.speed" twice; expected two inputs. Name another.' },
    ]);
    expect(problems(pair('wind.speed', 'rail.tilt', 0.5), pair('rail.tilt', 'wind.speed', 0.4))).toEqual([
      { index: 1, part: 'whole', text: 'read rail.tilt with wind.speed a second time; expected each pair once. Remove one.' },
    ]);
  });

  it('ranks that cannot all hold together, naming the pair to weaken and how far; weakened so, they hold', () => {
    const three = [
      pair('wind.speed', 'rail.tilt', 0.9),
      pair('wind.speed', 'site.temperature', 0.9),
      pair('rail.tilt', 'site.temperature', 0.3),
    ];
    const [{ index, text }] = problems(...three);
    const keep = Number(/to ([-\d.]+) or less/.exec(text)?.[1]);
    expect(text).toContain('cannot hold together with the others');
    expect(problems(...three.map((one, i) => (i === index ? { ...one, rank: keep } : one)))).toEqual([]);
    expect(() => correlatedGroups(three)).toThrow(RangeError);
  });
});
