/** The pool: chunks go to threads in the order they came. What befalls threads is fleet.test.ts. */
import { expect, test } from 'vitest';
import { Pool } from '../../src/fleet/pool.ts';
import { OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';

test('chunks that wait are done in the order they came: the rows of the first are waited for', async () => {
  const pool = new Pool({ threads: 1, workerFile: new URL('./standIn.mjs', import.meta.url), silence: 60, grace: 3, heapLimit: null });
  const { signal } = new AbortController();
  const chunk = { kind: 'flights', workKey: 1, studyKey: 1, study: {}, variation: {}, count: 1 };
  const done: number[] = [];
  const asked = [1, 2, 3, 4, 5, 6];
  await Promise.all(
    asked.map(async (first) => {
      const { kind } = await pool.work({ ...chunk, first }, CATALOGUE.length + OUTPUTS.length, signal);
      expect(kind).toBe('rows');
      done.push(first);
    }),
  );
  await pool.close();
  expect(done).toEqual(asked);
});
