/** The pictures and the page of what a logbook taught, from made-up numbers: nothing is flown or learnt here. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import type { Learning } from '../../../src/analysis/learn/learning.ts';
import { learningFinding } from '../../../src/analysis/learn/learning.ts';
import type { SeenSurprise } from '../../../src/analysis/learn/surprise.ts';
import { learningSchema } from '../../../src/analysis/read/learningSchema.ts';
import { readLearning } from '../../../src/analysis/read/readLearning.ts';
import { readResults } from '../../../src/analysis/read/readResults.ts';
import { learningPage } from '../../../src/report/learningPage.ts';
import { learnedFigures } from '../../../src/report/pictures/learned.ts';
import { programVersion } from '../../../src/results/header.ts';
import { drawing } from './madeUp.ts';
import { expectKept } from './readable.ts';

const seen = (key: SeenSurprise['key'], unit: string, share: number, more: Partial<SeenSurprise> = {}): SeenSurprise => ({
  attempt: 'hop 1',
  key,
  unit,
  seen: 'what it was',
  place: 'log.yaml:3:4',
  foretold: [0.8, 1, 1.3],
  happened: 1,
  share,
  interval: [0.8 * share, Math.min(1, 1.2 * share)],
  adjusted: Math.min(1, 4 * share),
  surprising: false,
  culprits: [],
  ...more,
});

const learning: Learning = {
  program: `alight ${programVersion()}`,
  title: 'made up',
  studyHash: '0'.repeat(64),
  seed: '1',
  design: 'independent',
  overrides: [],
  flightsAsked: 100,
  warnings: ['a <warning>'],
  logbook: 'log.yaml',
  logbookTitle: 'two days',
  attempts: ['hop 1', 'hop 2'],
  particles: 100,
  flights: 9000,
  lost: [{ flight: 7, reason: 'it stopped' }],
  finding: '',
  surprise: {
    flights: 100,
    observations: [
      seen('apogee', 'm', 0.3),
      seen('airframe.mass', 'kg', 0.8),
      seen('outcome', '', 0.2, { foretold: null, happened: 0.2 }),
      seen('apogee', 'm', 0, { attempt: 'hop 2', interval: [0, 0.036] }),
    ],
    joint: { share: 0.2, interval: [0.13, 0.29] },
  },
  narrowed: [
    {
      input: 'ascent.impulseFactor',
      unit: '',
      before: [0.95, 1, 1.05],
      after: [0.93, 0.96, 1],
      sdRatio: 0.5,
      shift: -1.2,
      noise: 0.1,
      bits: 2,
    },
    {
      input: 'gyro.biasY',
      unit: 'rad/s',
      before: [-0.01, 0, 0.01],
      after: [-0.004, 0.002, 0.012],
      sdRatio: 0.8,
      shift: 0.4,
      noise: 0.1,
      bits: 0.3,
    },
    { input: 'wind.direction', unit: 'rad', before: null, after: null, sdRatio: 0.8, shift: 0.2, noise: 0.1, bits: 0.2 },
  ],
  hardly: ['gyro.biasZ'],
  own: [{ attempt: 'hop 1', input: 'site.temperature', unit: 'K', before: [279, 289, 299], after: [283, 286, 289], bits: 1.7 }],
  pairs: [{ a: 'accelerometer.biasX', b: 'accelerometer.scaleX', correlation: -0.6 }],
  agreement: { typical: 0.2, expected: 0.18, largest: 2.1, bound: 3.9, settled: true },
  runs: [
    { logEvidence: -42, stops: 6, rounds: 26, accepted: 0.5, distinct: 50 },
    { logEvidence: -41, stops: 7, rounds: 26, accepted: 0.5, distinct: 50 },
  ],
  next: {
    rule: 'speed-curve',
    before: { flights: 200, landed: 88, share: 0.44, interval: [0.37, 0.51] },
    after: { flights: 200, landed: 68, share: 0.34, interval: [0.25, 0.44] },
    grown: [{ flights: 100, landed: 39, share: 0.39, interval: [0.28, 0.51] }],
    change: {
      constant: 'c0',
      now: 11,
      proposed: 10,
      shift: -1,
      odds: { flights: 200, landed: 71, share: 0.355, interval: [0.27, 0.45] },
      gain: 0.015,
      interval: [-0.03, 0.06],
    },
  },
  worthSeeing: [{ output: 'apogee', unit: 'm', error: 1, bits: 0.2, interval: [0.1, 0.3] }],
};
const told: Learning = { ...learning, finding: learningFinding(learning) };
const figures = learnedFigures(drawing, told);

describe('pictures, as when last looked at', () => {
  test('surprise', () => expectKept('learned-surprise', figures[0]));
  test('inputs before and after', () => expectKept('learned-inputs', figures[1]));
  test('odds of the next attempt', () => expectKept('learned-odds', figures[2]));
  test('odds as the logbook grew', () => expectKept('learned-grown', figures[3]));
});

describe('findings are true whatever the numbers', () => {
  test('a surprise is counted, and named where the picture is not seen', () => {
    const [apogee, ...others] = told.surprise.observations;
    const surprised = { ...told, surprise: { ...told.surprise, observations: [{ ...apogee, surprising: true }, ...others] } };
    const [figure] = learnedFigures(drawing, surprised);
    expect(figure.title).toBe('The study hardly ever does one of the 4 things seen');
    expect(figure.picture).toContain('as far out, a surprise');
    expect(figures[0].title).toBe('Nothing was seen that the study hardly ever does');
  });

  test('two runs that disagree stand ahead of all that hangs on them, and of nothing else', () => {
    const unsettled = { ...told, agreement: { typical: 2, expected: 0.4, largest: 6, bound: 3.9, settled: false } };
    const titles = learnedFigures(drawing, unsettled).map(({ title }) => title.startsWith('Not settled, so take none of it: '));
    expect(titles).toEqual([false, true, true, true]);
  });

  test('nothing narrowed, or directions alone, draw no inputs; no better height, no third row', () => {
    const ids = (one: Learning): string[] => learnedFigures(drawing, one).map(({ id }) => id);
    expect(ids({ ...told, narrowed: [] })).toEqual(['learned-surprise', 'learned-odds', 'learned-grown']);
    expect(ids({ ...told, narrowed: told.narrowed.slice(2) })).toEqual(['learned-surprise', 'learned-odds', 'learned-grown']);
    const [, , odds] = learnedFigures(drawing, { ...told, next: { ...told.next, change: null } });
    expect(odds.picture).not.toContain('1.00 m lower');
    expect(odds.caption).toContain('No other lighting height did better.');
  });

  test('odds rose or fell only where the intervals part', () => {
    const title = (share: number): string => {
      const after = { ...told.next.after, share, interval: [share - 0.05, share + 0.05] as const };
      return learnedFigures(drawing, { ...told, next: { ...told.next, after } })[3].title;
    };
    expect(title(0.31)).toMatch(/^Over 2 attempts the odds of the next one fell to 3\d % /);
    expect(title(0.4)).toMatch(/ the odds of the next one are not shown to have moved: 40 % /);
    expect(title(0.6)).toMatch(/ the odds of the next one rose to 60 % /);
  });

  test('the first input is named with its unit, and the others counted', () => {
    const [, moved] = learnedFigures(drawing, { ...told, narrowed: told.narrowed.slice(1) });
    expect(moved.title).toBe('The gyro bias Y is put at 0.115 deg/s, 0 before');
    expect(figures[1].title).toBe('The ascent motor impulse factor is put at 0.960, 1.00 before; one other moved too');
  });
});

test('the page says the finding, every table and warning, and its cautions', async () => {
  const page = await learningPage(told);
  expect(page).toContain(told.finding);
  expect(page).not.toMatch(/NaN|undefined|Infinity|<script/);
  for (const words of [
    'A simulation is neither permission nor proof',
    'a &lt;warning&gt;',
    'flight 7 counts as one that showed nothing',
    'Hardly moved, so nothing was learnt of them: gyro bias Z.',
    '<td>a direction</td>',
    'What now hangs together',
    'What to look at next time',
    'a difference of 2 % (-3 to 6 %) on the same luck, which may be chance.',
  ])
    expect(page).toContain(words);
});

describe('learning.json read back', () => {
  const folder = mkdtempSync(join(tmpdir(), 'alight-learning-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const kept = (name: string, value: unknown): string => {
    mkdirSync(join(folder, name));
    writeFileSync(join(folder, name, 'learning.json'), JSON.stringify(value));
    return join(folder, name);
  };

  test('is what was written', () => {
    expect(learningSchema.parse(JSON.parse(JSON.stringify(told)))).toEqual(told);
    expect(readLearning(kept('whole', told))).toEqual(told);
    expect(readLearning(folder)).toBeNull();
  });

  test('is refused where it is damaged or of another version, and beside other results', async () => {
    expect(() => readLearning(kept('damaged', { ...told, next: {} }))).toThrow(/learning\.json: damaged: next\.rule: .*; make it again$/);
    expect(() => readLearning(kept('older', { ...told, program: 'alight 0.0.1' }))).toThrow(/written by alight 0\.0\.1; .*make it again$/);
    const one = kept('beside', told);
    await expect(readResults([one, one], undefined)).rejects.toThrow(
      'holds what was learnt, which has a page of its own; name that folder alone',
    );
  });
});
