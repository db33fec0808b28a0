/**
 * Twenty flights of the demo against their bits as stored: engines and versions may not change a result. A change of
 * the model or of the demo may: then `node tests/flight/kernel/bits.mjs > tests/flight/kernel/bits.txt`, and say so.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

it('twenty flights have the bits they had', () => {
  const printed = execFileSync(process.execPath, [new URL('./bits.mjs', import.meta.url).pathname], { encoding: 'utf8' });
  const stored = readFileSync(new URL('./bits.txt', import.meta.url), 'utf8');
  expect(stored.trim().split('\n').length).toBe(20);
  expect(printed).toBe(stored);
});
