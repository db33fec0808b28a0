/** What flying costs in memory: per tick, once warm. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/kit.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { kitOf } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

describe('warm flights', () => {
  const kit = kitOf(demoStudy());
  const row = new Float64Array(ROW_LENGTH);
  const inputs = new Float64Array(CATALOGUE.length);
  kit.sampler.draw(1, inputs);
  for (let i = 0; i < 300; i++) kit.flyInputs(inputs, `warm ${i}`, row);

  it('leave nothing behind', () => {
    collect();
    const before = process.memoryUsage().heapUsed;
    for (let i = 0; i < 300; i++) kit.flyInputs(inputs, `retained ${i}`, row);
    collect();
    console.log('R', (process.memoryUsage().heapUsed - before) / 300000);
  });

  it.each([['noise'], [null]])('take on the way', (key) => {
    const f = [];
    for (let i = 0; i < 5; i++) {
      collect();
      const before = process.memoryUsage().heapUsed;
      kit.flyInputs(inputs, key, row);
      f.push(process.memoryUsage().heapUsed - before);
    }
    console.log('A', f, row[CATALOGUE.length + 13]);
  });
});
