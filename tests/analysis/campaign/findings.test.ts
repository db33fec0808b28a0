/** What is said of policies and of what is held: true whatever the numbers, with none, one, and all alike. */
import { describe, expect, it } from 'vitest';
import { holdsFinding } from '../../../src/analysis/campaign/holdsFinding.ts';
import { splitFrom } from '../../../src/analysis/campaign/policies.ts';
import { bestPolicy, policiesFinding, policyWords } from '../../../src/analysis/campaign/policyFinding.ts';
import type { Rival } from '../../../src/analysis/campaign/rivals.ts';

const rival = (name: string, saved: number, half: number): Rival => ({
  name,
  pairs: 500,
  differing: 100,
  landing: { level: 0.95, campaigns: 500, curve: [], needed: [], never: { campaigns: 0, share: 0, interval: [0, 0.01] } },
  gains: [],
  attempts: { value: 3 - saved, interval: [2, 4] },
  saved: { value: saved, interval: [saved - half, saved + half] },
  costSaved: null,
  verdict: saved - half > 0 ? 'fewer' : saved + half < 0 ? 'more' : 'not told apart',
});

describe('policies', () => {
  const finding = (rivals: readonly Rival[], alike: readonly string[] = []): string => policiesFinding(rivals, bestPolicy(rivals), alike);

  it('names the best that was told better, what it saves, who was not told from it, and what over-correcting costs', () => {
    const rivals = [rival('correct:0.4', 0.5, 0.2), rival('harmonic', 0.4, 0.2), rival('correct:1.5', -0.4, 0.3)];
    expect(bestPolicy(rivals)).toBe('correct:0.4');
    expect(finding(rivals, ['harmonic'])).toBe(
      'After a miss, correct 40 % of it: that saves 0.5 attempts (0.3 to 0.7) of the 3 that a first landing takes with the program left as it is. Not told apart from it: harmonic. correct:1.5 takes 0.4 attempts more (0.1 to 0.7) than leaving it.',
    );
  });

  it('leaves the program as it is where none was told better', () => {
    const rivals = [rival('correct:1', 0.1, 0.2), rival('harmonic', -0.1, 0.2)];
    expect(bestPolicy(rivals)).toBe('keep');
    expect(finding(rivals)).toBe(
      'After a miss, leave the program as it is: no policy was told to take fewer attempts, by 500 campaigns on the same luck.',
    );
    expect(finding([])).toContain('nothing can be said');
  });

  it.each([
    ['keep', 'leave the program as it is'],
    ['correct:1', 'correct all of it'],
    ['correct:0.25', 'correct 25 % of it'],
    ['harmonic', 'correct all of the first, half of the second, a third of the third'],
    ['weighted:1', 'correct 50 %, 33 % and 25 % of it, the first, second and third time'],
    ['weighted:Infinity', 'change nothing'],
  ])('%s in words', (name, words) => expect(policyWords(name)).toBe(words));
});

describe('what is held', () => {
  const held = (name: string, saved: number, half: number) => ({ ...rival(name, saved, half), keys: [], levels: [] });

  it('names what saves attempts, or says that nothing was told to', () => {
    expect(holdsFinding([held('accelerometer', 0.5, 0.2), held('rail', 0.3, 0.2), held('mass', 0, 0.2)])).toBe(
      'Measure and correct accelerometer before you fly: without what of it stays, a first landing takes 0.5 (0.3 to 0.7) attempts fewer; rail saves some too.',
    );
    expect(holdsFinding([held('mass', 0, 0.2)])).toContain('was not told to save attempts');
    expect(holdsFinding([])).toContain('nothing can be said');
  });
});

describe('the split of a miss', () => {
  it('adds the misreading to what is fresh, leaves out what was not seen, and gives no ratio where nothing stands', () => {
    const misses = [
      [1, 3, Number.NaN],
      [7, 9],
    ];
    // Between means 2 and 8: (2 * 18 - 2)/2 = 17; within 2.
    expect(splitFrom(misses, 1)).toEqual({ campaigns: 2, attempts: 4, standing: Math.sqrt(17), fresh: Math.sqrt(3), ratio: 0.176 });
    expect(
      splitFrom(
        [
          [0, 2],
          [0, 2],
        ],
        0,
      ),
    ).toMatchObject({ standing: null, ratio: null });
    expect(splitFrom([[Number.NaN], []], 0.5)).toEqual({ campaigns: 0, attempts: 0, standing: null, fresh: 0.5, ratio: null });
  });
});
