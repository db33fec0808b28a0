/** Measured lists: the shape they were drawn from is refused as seldom as it should be, and what comes next is foretold. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chosenFit, fitsOf } from '../../../src/analysis/measure/fits.ts';
import { measureValues } from '../../../src/analysis/measure/measureValues.ts';
import { UserError } from '../../../src/errors.ts';
import type { Distribution } from '../../../src/inputs/distributions.ts';
import { cdf, quantile } from '../../../src/inputs/distributions.ts';
import { stream } from '../../../src/maths/streams.ts';
import { sorted } from '../../../src/statistics/samples/quantiles.ts';
import { plainText, read } from '../../study/plainStudy.ts';

let root = '';
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'values-'));
});
afterAll(() => rmSync(root, { recursive: true }));

function file(text: string): string {
  const path = join(root, 'list.csv');
  writeFileSync(path, text);
  return path;
}

const OPTIONS = { column: 'delay_ms', unit: null, input: 'landing.ignitionDelay', relative: false } as const;

const column = (values: readonly (number | string)[], title = 'delay_ms'): string =>
  `n,${title}\n${values.map((v, i) => `${i + 1},${v}`).join('\n')}\n`;

const problems = async (text: string, options: Parameters<typeof measureValues>[1] = OPTIONS): Promise<readonly string[]> => {
  const path = file(text);
  try {
    await measureValues(path, options);
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((line) => line.replaceAll(path, 'list.csv'));
    throw error;
  }
  return [];
};

const LIST = [96, 104, 88, 131, 99, 112, 93, 167, 101, 108, 90, 118];

describe('a list of delays', () => {
  it('is held against every shape, in SI, and the block is read by a study', async () => {
    const found = await measureValues(file(column(LIST)), OPTIONS);
    expect(found.fits.map(({ kind }) => kind)).toEqual(['normal', 'lognormal', 'uniform', 'triangular']);
    expect(found.chosen).toBe('lognormal');
    expect(found.mean.value).toBeCloseTo(0.10891667, 8);
    const [line] = found.block.slice(1);
    const { study } = await read(plainText({ 37: line }));
    const written = study.inputs['landing.ignitionDelay'];
    if (written?.kind !== 'lognormal' || found.distribution.kind !== 'lognormal') throw new Error('no lognormal');
    expect(written.median / found.distribution.median).toBeCloseTo(1, 3);
    expect(found.finding).toMatch(
      /^12 values of landing\.ignitionDelay go with a bell curve of the logarithm: the next lies between 0\.\d+ s and 0\.\d+ s nine times in ten\.$/,
    );
  });

  it('what lies far out is named with its line, and kept', async () => {
    const path = file(column([...LIST.slice(0, 7), 400, ...LIST.slice(8)]));
    const found = await measureValues(path, OPTIONS);
    expect(found.outliers).toEqual([{ line: 9, value: 0.4 }]);
    expect(found.warnings).toEqual([`${path}:9:1: 0.4 s lies far from the others; it was kept. Look whether it was a slip.`]);
    expect(found.values).toContain(0.4);
  });

  it('too few have no shape, and leave much open', async () => {
    const found = await measureValues(file(column([100, 104, 97])), OPTIONS);
    expect(found.chosen).toBe('student');
    expect(found.fits).toEqual([]);
    expect(found.distribution).toMatchObject({ kind: 'student', freedom: 2 });
  });

  it('two heaps fit nothing: they are drawn themselves', async () => {
    const heaps = Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? 80 : 200) + (i % 7) * 0.4);
    const found = await measureValues(file(column(heaps)), OPTIONS);
    expect(found.chosen).toBe('sample');
    expect(found.fits.every(({ refused }) => refused)).toBe(true);
    expect(found.distribution).toMatchObject({ kind: 'measured', as: 'smooth' });
    const { study } = await read(plainText({ 37: found.block[1] }));
    expect(study.inputs['landing.ignitionDelay']).toMatchObject({ kind: 'measured' });
  });
});

describe('other inputs', () => {
  it('a factor from impulses, over their mean', async () => {
    const found = await measureValues(file(column([58.1, 60.2, 59.3, 59.9, 58.7, 59.6], 'impulse [N s]')), {
      column: 'impulse',
      unit: null,
      input: 'landing.impulseFactor',
      relative: true,
    });
    expect(found.mean.value).toBeCloseTo(1, 12);
    expect(found.distribution).toMatchObject({ kind: 'student', freedom: 5 });
  });

  it('a chance from ones and zeros, none of which is not never', async () => {
    const found = await measureValues(file(column(new Array(20).fill(0), 'failed')), {
      column: 'failed',
      unit: null,
      input: 'landing.igniterFails',
      relative: false,
    });
    expect(found.chosen).toBe('chance');
    expect(found.distribution).toEqual({ kind: 'chance', probability: 0.5 / 21 });
    // Clopper and Pearson: 1 - 0.025^(1/20)
    expect(found.mean.interval?.[1]).toBeCloseTo(1 - 0.025 ** (1 / 20), 10);
    expect(found.finding).toBe('landing.igniterFails happened in 0 of 20: a chance of 0 % to 16.8 %.');
  });

  it('directions are drawn themselves: no bell goes round', async () => {
    const found = await measureValues(file(column([350, 10, 20, 340, 5, 15], 'from [deg]')), {
      column: 'from',
      unit: null,
      input: 'wind.direction',
      relative: false,
    });
    expect(found.chosen).toBe('sample');
    expect(found.fits).toEqual([]);
  });
});

describe('statistics', () => {
  const TRUTHS: readonly Distribution[] = [
    { kind: 'normal', mean: 3, sd: 0.5 },
    { kind: 'lognormal', median: 0.1, logSd: 0.4 },
    { kind: 'uniform', low: -1, high: 2 },
  ];

  it.each(TRUTHS)('a true $kind is refused about one time in twenty', (truth) => {
    const uniform = stream(`refusals/${truth.kind}`);
    const draw = quantile(truth);
    const runs = 120;
    let refused = 0;
    for (let k = 0; k < runs; k++) {
      const fit = fitsOf(sorted(Array.from({ length: 12 }, () => draw(uniform()))), 99).find(({ kind }) => kind === truth.kind);
      if (fit?.refused) refused++;
    }
    // 6 of 120 expected, standard error 2.4; four of them
    expect(refused).toBeLessThanOrEqual(15);
  });

  it('the next value lies where it is foretold, whatever the shape that was taken', () => {
    for (const truth of TRUTHS.slice(0, 2)) {
      const uniform = stream(`next/${truth.kind}`);
      const draw = quantile(truth);
      const runs = 150;
      let held = 0;
      for (let k = 0; k < runs; k++) {
        const fit = chosenFit(fitsOf(sorted(Array.from({ length: 10 }, () => draw(uniform()))), 99));
        if (fit === null) {
          held += 0.9; // drawn itself: not what is asked here
          continue;
        }
        const u = cdf(fit.distribution)(draw(uniform()));
        if (u > 0.05 && u < 0.95) held++;
      }
      // 135 of 150, standard error 3.7; four of them, and two for choosing the shape by the same values
      expect(Math.abs(held - 0.9 * runs)).toBeLessThan(22);
    }
  });
});

describe('what is wrong with a list', () => {
  it.each([
    [
      'an unknown input',
      column(LIST),
      { ...OPTIONS, input: 'landing.ignitionDelya' },
      '--for: read "landing.ignitionDelya"; expected the key of an input. alight inputs lists them. Did you mean "landing.ignitionDelay"?',
    ],
    [
      'no such column',
      column(LIST),
      { ...OPTIONS, column: 'delays' },
      'list.csv:1:1: read the columns n, delay_ms; expected "delays" for value. Name one that is there. Did you mean "delay_ms"?',
    ],
    [
      'no unit',
      column(LIST, 'delay'),
      { ...OPTIONS, column: 'delay' },
      'list.csv:1:3: read the column "delay" without a unit; expected a time in s or a unit like it. Write it in the head, delay [s], or give it: --unit "s".',
    ],
    [
      'another unit',
      column(LIST),
      { ...OPTIONS, unit: 'g' },
      'list.csv:1:3: read the unit "g" for value (that is a mass); expected a time in s or a unit like it. Give the unit that the numbers are in.',
    ],
    ['text', column([96, 'x', 88]), OPTIONS, 'list.csv:3:3: read "x"; expected a number for value. Mend the cell, or leave the row out.'],
    [
      'out of bounds',
      column([96, 98000]),
      OPTIONS,
      'list.csv:3:1: read 98 s; expected landing.ignitionDelay from 0 to 5 s. Mend it, or give another unit or input.',
    ],
    [
      'all alike',
      column([96, 96, 96]),
      OPTIONS,
      'list.csv:2:1: read 3 equal values; expected values that differ. A single value goes into the study as it is.',
    ],
    [
      'one',
      column([96]),
      OPTIONS,
      'list.csv:2:1: read one value; expected values that differ. A single value goes into the study as it is.',
    ],
    [
      'no chance',
      column([0, 2]),
      { ...OPTIONS, input: 'landing.igniterFails' },
      'list.csv:3:1: read 2; expected 1 where it happened and 0 where not. Mend the cell.',
    ],
    [
      'no factor',
      column(LIST),
      { ...OPTIONS, relative: true },
      '--relative: landing.ignitionDelay is no factor; expected one whose nominal value is 1, such as landing.impulseFactor. Leave it out.',
    ],
  ])('%s', async (_, text, options, line) => {
    expect(await problems(text, options)).toEqual([line]);
  });
});
