import { describe, expect, it } from 'vitest';
import { lightingHeights } from '../../../src/analysis/drops/burnHeights.ts';
import { shiftConstant, shiftedBy } from '../../../src/analysis/shift/heightShift.ts';
import { ruleKinds } from '../../../src/avionics/rules/kinds.ts';
import { onboardModel } from '../../../src/flight/setup.ts';
import type { RuleChoice } from '../../../src/study/study.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const onboard = onboardModel(demoStudy());
const POINTS = [
  { height: 3, speed: 11, apogee: 22 },
  { height: 9, speed: 19, apogee: 35 },
  { height: 31, speed: 38, apogee: 120 },
];
const CONSTANTS: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  fixedHeight: { height: 7 },
  apogeeLine: { c0: -3.4, c1: 0.24 },
  speedCurve: { c0: 11, c1: -1.6, c2: 0.06 },
  predictedStop: { margin: -1.6, speed: 6 },
};
const ruleOf = (kind: string): RuleChoice => {
  return { name: kind, kind, constants: CONSTANTS[kind] ?? {}, lead: 0.11, tiltGuard: 0.6, insideTick: false };
};

describe('every kind of rule', () => {
  it.each(ruleKinds().map(({ kind }) => kind))('%s is shifted by as much at every descent', (kind) => {
    const rule = ruleOf(kind);
    const constant = shiftConstant(rule, onboard);
    const before = lightingHeights(rule, onboard, POINTS);
    const after = lightingHeights(shiftedBy(rule, constant, 1.75), onboard, POINTS);
    // a sum of two numbers below a thousand, to rounding
    for (const [i, height] of after.entries()) expect(height - before[i]).toBeCloseTo(1.75, 9);
  });

  it('stays within the bounds of its constant', () => {
    const { low, high } = shiftConstant(ruleOf('fixedHeight'), onboard);
    expect([low, high]).toEqual([-7, 493]);
  });
});
