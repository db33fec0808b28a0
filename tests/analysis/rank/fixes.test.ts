import { expect, test } from 'vitest';
import { readFix, together } from '../../../src/analysis/rank/fixes.ts';
import { UserError } from '../../../src/errors.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const problem = (text: string): string => {
  try {
    readFix(demoStudy(), text, []);
  } catch (error) {
    if (error instanceof UserError) return error.message;
    throw error;
  }
  return 'was accepted';
};

test('a value of what is no input is a setting of the study, beside inputs held', () => {
  const { whole, parts } = readFix(demoStudy(), 'phases.replay=on,wind.speed=3 m/s', []);
  expect(whole).toEqual({
    name: 'phases.replay=on, wind.speed=3 m/s',
    pins: { 'wind.speed': 3 },
    spread: {},
    settings: ['phases.replay=on'],
  });
  expect(parts.map(({ settings }) => settings)).toEqual([['phases.replay=on'], []]);
});

test('one setting is not changed twice in a fix', () => {
  expect(problem('phases.replay=on,phases.replay=off')).toBe(
    '--fix: phases.replay is changed twice, by phases.replay=on and by phases.replay=off',
  );
});

test('a fix may not choose its luck', () => {
  expect(problem('seed=7')).toBe('--fix seed=7: a fix is judged on the same luck; seed decides that luck');
});

test('of fixes that change one thing the later has the say', () => {
  const fix = (name: string, spread: number, setting: string) => ({
    name,
    pins: {},
    spread: { 'wind.speed': spread },
    settings: [setting],
  });
  expect(together([fix('a', 0.5, 'control.kp=1'), fix('b', 0, 'control.kp=2')] as const)).toEqual({
    name: 'a, b',
    pins: {},
    spread: { 'wind.speed': 0 },
    settings: ['control.kp=2'],
  });
});
