/** Policies as a person asks for them, what is refused and how, and the constant that a correction moves. */
import { describe, expect, it } from 'vitest';
import { correctionOf, readOnePolicy, readPolicies } from '../../../src/analysis/shift/correction.ts';
import { findShiftConstant } from '../../../src/analysis/shift/heightShift.ts';
import { policyName } from '../../../src/flight/policy.ts';
import { onboardModel } from '../../../src/flight/setup.ts';
import type { RuleChoice } from '../../../src/study/study.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const study = demoStudy();
/** A rule of a kind, with the constants of one that the demo has. */
const ruleOf = (kind: string, constants: Readonly<Record<string, number>>): RuleChoice => ({ ...study.rules[0], kind, constants });

describe('policies asked for', () => {
  it('come once each, in order; a swept gain is several', () => {
    expect(readPolicies('keep, correct:0.5,weighted,correct:0.50, harmonic')).toEqual([
      { kind: 'keep' },
      { kind: 'correct', gain: 0.5 },
      { kind: 'weighted', ratio: null },
      { kind: 'harmonic' },
    ]);
    expect(readPolicies('G-swept').map((policy) => (policy.kind === 'correct' ? policy.gain : null))).toEqual([0.2, 0.4, 0.6, 0.8, 1, 1.5]);
  });

  it.each([
    [
      'correct:2.5',
      '--policies: read "correct:2.5"; expected a gain from 0 to 2, the part of each miss to correct. Write, for example, correct:0.5.',
    ],
    ['correct:-0.1', 'expected a gain from 0 to 2'],
    ['correct:', 'expected a gain from 0 to 2'],
    ['correct:half', 'expected a gain from 0 to 2'],
    ['harmonik', 'read "harmonik"; expected one of keep, correct:0.5, harmonic, weighted, G-swept. Did you mean "harmonic"?'],
    ['weighted:-1', 'expected a ratio of variances'],
    ['', 'read ""; expected one of keep'],
  ])('refuses "%s"', (text, line) => {
    expect(() => readPolicies(text)).toThrow(line);
  });

  it('are named so that they can be asked for again', () => {
    for (const name of ['keep', 'correct:0.5', 'harmonic', 'weighted:0.83', 'weighted:Infinity']) {
      expect(policyName(readOnePolicy(name))).toBe(name);
    }
    for (const name of ['weighted', 'G-swept', 'keep,harmonic'])
      expect(() => readOnePolicy(name)).toThrow('expected one policy with its numbers');
  });
});

describe('the constant that is moved', () => {
  it.each([
    ['fixedHeight', { height: 7 }, 'height'],
    ['apogeeLine', { c0: -3.4, c1: 0.24 }, 'c0'],
    ['speedCurve', { c0: 11, c1: -1.6, c2: 0.06 }, 'c0'],
    ['predictedStop', { margin: -1.6, speed: 6 }, 'margin'],
  ])('of %s with %o is %s', (kind, constants, key) => {
    const rule = ruleOf(kind, constants);
    expect(correctionOf(rule, findShiftConstant(rule, onboardModel(study)), { kind: 'harmonic' })?.constant.key).toBe(key);
  });

  it('is asked for by no policy that changes nothing; a rule without one is refused with the constants it has', () => {
    const rule = ruleOf('apogeeLine', { c0: -3.4, c1: 0.24 });
    expect(correctionOf(rule, null, { kind: 'keep' })).toBeNull();
    expect(() => correctionOf(rule, null, { kind: 'harmonic' })).toThrow(
      /\(apogeeLine\) has no constant that moves its lighting height.*; it has c0, c1\./,
    );
  });
});
