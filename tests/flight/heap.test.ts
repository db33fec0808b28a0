/**
 * What flying costs in memory, once warm. Nothing may stay: a study is tens of millions of ticks. On the way numbers that pass from function to function
 * may be boxed, 16 bytes each, and are swept up young: some 300 bytes a tick without noise (20 numbers), 900 with (another dozen normals, each a few).
 * An object or a closure made each tick would not change the first figure but would the second.
 */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/kit.ts';
import { outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { kitOf } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

describe('a warm flight', () => {
  const kit = kitOf(demoStudy());
  const row = new Float64Array(ROW_LENGTH);
  const inputs = new Float64Array(CATALOGUE.length);
  kit.sampler.draw(1, inputs);
  for (let i = 0; i < 300; i++) kit.flyInputs(inputs, `warm ${i}`, row);
  const ticks = (): number => row[CATALOGUE.length + outputIndex('flightTime')] * 100;
  const used = (): number => process.memoryUsage().heapUsed;

  it('leaves less than a byte a tick behind', () => {
    collect();
    const before = used();
    let flown = 0;
    for (let i = 0; i < 300; i++) {
      kit.flyInputs(inputs, `kept ${i}`, row);
      flown += ticks();
    }
    collect();
    expect(flown).toBeGreaterThan(200_000);
    expect((used() - before) / flown).toBeLessThan(1);
  });

  it.each([
    ['without noise', null, 600],
    ['with noise', 'noise', 1800],
  ] as const)('%s takes less than %3$d bytes a tick on the way', (_, key, most) => {
    // The least of five, for other work in the process may fall between.
    const taken = Array.from({ length: 5 }, () => {
      collect();
      const before = used();
      kit.flyInputs(inputs, key, row);
      return (used() - before) / ticks();
    });
    expect(Math.min(...taken)).toBeLessThan(most);
    expect(Math.min(...taken)).toBeGreaterThan(0);
  });
});
