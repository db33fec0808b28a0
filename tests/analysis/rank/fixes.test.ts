import { expect, test } from 'vitest';
import { readFix } from '../../../src/analysis/rank/fixes.ts';
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

test('a setting of the study is told from an input, and what to do about it is said', () => {
  expect(problem('phases.replay=on')).toBe(
    '--fix: read "phases.replay=on"; phases.replay is a setting of the study, and a fix changes inputs, groups and noise. Fly the study without and with --set phases.replay=on',
  );
});

test('a mistyped input is still taken for one', () => {
  expect(problem('wind.sped=3')).toBe('--fix: read "wind.sped=3"; a value needs an input to hold. Did you mean "wind.speed"?');
});
