import { expect, test } from 'vitest';
import { goNoGo } from '../../../src/analysis/card/goNoGo.ts';

test('go or no-go only when the whole interval is', () => {
  expect(goNoGo([0.5, 0.7], 0.5)).toBe('go');
  expect(goNoGo([0.49, 0.7], 0.5)).toBe('unclear');
  expect(goNoGo([0.3, 0.5], 0.5)).toBe('unclear');
  expect(goNoGo([0.3, 0.499], 0.5)).toBe('no-go');
  expect(goNoGo(null, 0.5)).toBe('unclear');
});
