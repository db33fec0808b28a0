/** Problems as a person meets them: each one line that can be read, whatever a file put into it. */
import { expect, test } from 'vitest';
import { UserError } from '../src/errors.ts';

test('a line that a file made too long keeps its two ends, and says how much is left out', () => {
  const [line] = new UserError(`a.csv:3:1: read the column ${'a'.repeat(70_000)}; expected another. Rename it.`).problems;
  expect(line.length).toBeLessThan(4100);
  expect(line).toMatch(/^a\.csv:3:1: read the column a+ \.\.\. \(66\d{3} characters left out\) \.\.\. a+; expected another\. Rename it\.$/);
});

test('a line of a length that can be read stays whole, and characters that steer a terminal are written out', () => {
  const line = `b.yaml:1:1: ${'x'.repeat(3000)}`;
  expect(new UserError([line, 'c\u001b[2J']).problems).toEqual([line, 'c\\u001b[2J']);
});
