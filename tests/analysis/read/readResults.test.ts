import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { compareRules } from '../../../src/analysis/compare/compareRules.ts';
import { dropRules } from '../../../src/analysis/drops/dropRules.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { rankResults } from '../../../src/analysis/read/rankResults.ts';
import { readResults } from '../../../src/analysis/read/readResults.ts';
import { UserError } from '../../../src/errors.ts';
import { openStudy } from '../../../src/study/load.ts';
import { scratch } from '../../results/setUp.ts';

const root = scratch();
const at = (...names: string[]): string => join(root, ...names);
const write = (path: string, change: (value: Record<string, never>) => unknown): void => {
  const value = JSON.parse(readFileSync(path, 'utf8'));
  change(value);
  writeFileSync(path, JSON.stringify(value));
};

/** The one line with which results are refused. */
async function refusal(...paths: string[]): Promise<string> {
  try {
    await readResults(paths);
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    expect(error.problems).toHaveLength(1);
    return error.message;
  }
  throw new Error('the results were taken');
}

beforeAll(async () => {
  const opened = await openStudy('studies/thistledown.yaml', { set: ['flights=60'] });
  const more = await openStudy('studies/thistledown.yaml', { set: ['flights=120'] });
  await flyStudy(more, { out: at('flown'), threads: 1 });
  await compareRules(opened, { out: at('compared'), threads: 1, across: ['wind.speed'] });
  await dropRules(opened, { out: at('dropped'), steps: 3 });
  await rankFixes(opened, { out: at('fixed'), threads: 1, fixes: ['ascent.impulseFactor=half'], flights: 40 });
  await rankResults(at('flown'), { out: at('ranked') });
}, 120_000);

describe('answers read back', () => {
  test('are what was written, whole (the kinds that take long to fly are held against their schemas where they are flown)', async () => {
    const { found, run } = await readResults(['flown', 'compared', 'dropped', 'fixed', 'ranked'].map((name) => at(name)));
    const json = (...names: string[]): unknown => JSON.parse(readFileSync(at(...names), 'utf8'));
    expect(found.comparison).toEqual(json('compared', 'comparison.json'));
    expect(found.drops).toEqual(json('dropped', 'drops.json'));
    expect(found.rankings).toEqual(['fixed', 'ranked'].map((name) => json(name, 'ranking.json')));
    // By what else it says only a run that goes on asks.
    expect({ ...run, asked: expect.any(String) }).toEqual(json('flown', 'run.json'));
  });

  test('are refused where anything in them is missing or of another kind, in one line that names it', async () => {
    const names = [
      ['compared', 'comparison.json'],
      ['dropped', 'drops.json'],
      ['fixed', 'ranking.json'],
    ] as const;
    for (const [folder, file] of names) {
      const path = at(folder, file);
      const text = readFileSync(path, 'utf8');
      const keys = Object.keys(JSON.parse(text)).filter((key) => !['program', 'studyHash'].includes(key));
      await fc.assert(
        fc.asyncProperty(fc.constantFrom(...keys), fc.constantFrom(undefined, 7.5, { a: [] }), async (key, value) => {
          writeFileSync(path, JSON.stringify({ ...JSON.parse(text), [key]: value }));
          // A number stands where a number may: only what is missing or a map is wrong everywhere.
          if (value === 7.5 && typeof JSON.parse(text)[key] !== 'string') return;
          expect(await refusal(at(folder))).toMatch(new RegExp(`^${path}: damaged: ${key}`));
        }),
        { numRuns: 25 },
      );
      writeFileSync(path, text);
    }
  }, 60_000);

  test('words in them come printable', async () => {
    const path = at('dropped', 'drops.json');
    const text = readFileSync(path, 'utf8');
    write(path, (value) => Object.assign(value, { title: 'A\u001b]0;x\u0007' }));
    const { found } = await readResults([at('dropped')]);
    expect(found.drops?.title).toBe('A\\u001b]0;x\\u0007');
    writeFileSync(path, text);
  });
});

describe('flights and what is said about them', () => {
  test('a summary about another number of flights is noticed', async () => {
    mkdirSync(at('counted'));
    for (const name of ['flights.arrow', 'study.yaml', 'summary.json']) copyFileSync(at('flown', name), at('counted', name));
    write(at('counted', 'summary.json'), ({ odds }) => Object.assign(odds, { flights: 121 }));
    expect(await refusal(at('counted'))).toMatch(/flights\.arrow: holds 120 flights, and .*summary\.json is about 121; fly again$/);
  });

  test('a second folder of flights that adds nothing is not dropped in silence', async () => {
    expect(await refusal(at('compared'), at('flown'))).toMatch(/flown: holds flights only, and a page shows those of one folder/);
  });

  test('answers of another study are refused with what to do', async () => {
    const other = await openStudy('studies/thistledown.yaml', { set: ['flights=60', 'wind.speed=1 m/s'] });
    await flyStudy(other, { out: at('other'), threads: 1 });
    expect(await refusal(at('other'), at('dropped'))).toMatch(
      /drops\.json: belongs to another study than .*; fly the study again as it is now, or name/,
    );
  });

  test('a study in place of results is told from a damaged file', async () => {
    expect(await refusal('studies/thistledown.yaml')).toBe(
      'studies/thistledown.yaml: is a study; expected results. Fly it first (alight fly studies/thistledown.yaml), then name its results',
    );
  });

  test.each([
    ['below a file', () => `${at('flown', 'flights.arrow')}/x`, /a part of that path is a file/],
    ['with a name too long', () => at('x'.repeat(300)), /the name is too long/],
  ])('a path %s is one line', async (_, path, words) => {
    expect(await refusal(path())).toMatch(words);
  });
});
