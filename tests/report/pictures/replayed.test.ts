/** The pictures and the page of a replayed log, from made-up numbers: no log is read here. */
import { describe, expect, test } from 'vitest';
import type { Replay, WouldLight } from '../../../src/analysis/replay/replayLog.ts';
import { replayedFigures } from '../../../src/report/pictures/replayed.ts';
import { replayPage } from '../../../src/report/replayPage.ts';
import { drawing } from './madeUp.ts';
import { expectKept } from './readable.ts';

const ROWS = 81;
const time = Float64Array.from({ length: ROWS }, (_, i) => 0.1 * i);
const height = time.map((t) => 20 * t - 2.5 * t * t);
// The logged belief falls behind, and is not there in the first rows.
const logged = height.map((h, i) => (i < 5 ? Number.NaN : h - 0.02 * i));

const lights = (rule: string, more: Partial<WouldLight> = {}): WouldLight => ({
  rule,
  time: 6.5,
  height: 24.4,
  speed: 12.5,
  loggedHeight: 23.1,
  tooLate: false,
  ...more,
});

const replay: Replay = {
  log: 'hop.csv',
  rule: 'fixed',
  timing: {
    samples: ROWS,
    length: 8,
    rate: 10,
    jitter: null,
    stalls: 0,
    stallRate: 0,
    stallRateInterval: [0, 0.46],
    stallDuration: null,
  },
  studyRate: 10,
  phases: [
    { what: 'liftoff recognised', replayed: 0.1, logged: 0.1 },
    { what: 'ignition commanded', replayed: 6.5, logged: 6.6 },
  ],
  partings: [{ key: 'height', unit: 'm', rows: 76, same: 0, largest: 1.6, beyond: 0.5, from: 2.6 }],
  rules: [
    lights('fixed'),
    lights('line', { time: 7, height: 17.5, tooLate: true }),
    lights('curve', { time: null, height: null, speed: null, loggedHeight: null }),
  ],
  believed: [
    { key: 'time', unit: 's', meaning: '', values: time },
    { key: 'height', unit: 'm', meaning: '', values: height },
    { key: 'logged.height', unit: 'm', meaning: '', values: logged },
  ],
};
const figures = replayedFigures(drawing, replay);

describe('pictures, as when last looked at', () => {
  test('heights', () => expectKept('replayed-height', figures[0]));
  test('rules', () => expectKept('replayed-rules', figures[1]));
});

describe('findings are true whatever the numbers', () => {
  test('what did not light, and what lit too late, is said', () => {
    expect(figures[1].title).toBe('2 of 3 rules would have lit, between 6.50 and 7.00 s');
    expect(figures[1].caption).toContain('Open: after the own lighting');
    expect(figures[1].caption).toContain('Would not have lit: curve.');
    const [one] = replay.rules;
    expect(replayedFigures(drawing, { ...replay, rules: [one] })[1].title).toBe('1 of 1 rule would have lit, at 6.50 s');
  });

  test('no rule lights: no picture of rules, and no dot', () => {
    const dark = { ...replay, rules: replay.rules.slice(2), rule: 'curve' };
    const drawn = replayedFigures(drawing, dark);
    expect(drawn.map(({ id }) => id)).toEqual(['replayed-height']);
    expect(drawn[0].caption).toContain('curve would not have lit.');
  });

  test('a log without belief is compared with nothing', () => {
    const [bare] = replayedFigures(drawing, { ...replay, partings: [], believed: replay.believed.slice(0, 2) });
    expect(bare.title).toBe('The log has no believed height to compare with');
    expect(bare.caption).not.toContain('as logged');
    const same = { ...replay.partings[0], same: 76, largest: 0, from: null };
    expect(replayedFigures(drawing, { ...replay, partings: [same] })[0].title).toBe('The believed height is the logged one at every row');
  });
});

test('the page says the finding, the tables, the warnings and its cautions', async () => {
  const page = await replayPage(replay, { study: 'a <study>', program: 'alight 0', warnings: ['a gap'] });
  expect(page).not.toMatch(/NaN|undefined|Infinity|<script/);
  for (const words of [
    'hop.csv: fixed lights at 6.50 s, 24.4 m by its own belief; the believed height differs from the logged one by 1.60 m at most',
    'A simulation is neither permission nor proof',
    'the flight computer of a &lt;study&gt; and rule fixed',
    '<p>a gap</p>',
    '<td>would not have lit</td>',
    'what a later rule would have met was another fall.',
    '81 rows in 8.00 s, usually 10.0 Hz',
  ])
    expect(page).toContain(words);
});
