/** Logbook, learning and replay as a user runs them: the built program on the demo. */
import { cpSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();
const STUDY = 'thistledown.yaml';
// Coarser still: learning flies each attempt some thousand times, and nothing said here hangs on how finely.
writeFileSync(join(folder, STUDY), readFileSync(join(folder, STUDY), 'utf8').replace('rate: 50 Hz', 'rate: 25 Hz'));
cpSync(resolve('studies', 'thistledown-logbook.yaml'), join(folder, 'five.yaml'));
writeFileSync(
  join(folder, 'one.yaml'),
  [
    'title: one attempt',
    'attempts:',
    '  - name: hop 1',
    '    set: { airframe.mass: 940 g ± 2 g }',
    '    observed: { outcome: lit too high, apogee: 41 m ± 1.5 m, landingDistance: not seen }',
    '',
  ].join('\n'),
);

describe('alight logbook check', () => {
  test('lists the attempts and names the next step', async () => {
    const ran = alight(folder, 'logbook', 'check', STUDY, 'five.yaml');
    expect([ran.code, ran.err]).toEqual([0, '']);
    expect(ran.out).toMatch(/^Thistledown, two invented days: the logbook is sound\n/);
    expect(ran.out).toMatch(/^ {2}hop 4 +speed-curve +second +april +sunday +6 +ignitionHeight$/m);
    expect(ran.out).toContain('Next: alight learn thistledown.yaml five.yaml');
  });

  test('one line a problem, exit 2', async () => {
    writeFileSync(join(folder, 'bad.yaml'), 'title: t\nattempts:\n  - { rule: none, observed: { apogee: -3 m ± 1 m } }\n');
    const ran = await alightHere(folder, 'logbook', 'check', STUDY, 'bad.yaml');
    expect([ran.code, ran.out]).toEqual([2, '']);
    expect(ran.err.trimEnd().split('\n')).toHaveLength(2);
    expect(ran.err).toMatch(/^bad\.yaml:3:13 attempts\.0\.rule: /m);
  });
});

describe('alight learn', () => {
  test('says what was surprising, what was learnt and the odds, and leaves a study that other commands fly', async () => {
    const ran = alight(folder, 'learn', STUDY, 'one.yaml', '--particles', '200', '--out', 'learned');
    expect(ran.code).toBe(0);
    expect(ran.out.split('\n')[0]).toMatch(/^(After 1 attempt |Two runs from different seeds do not agree)/);
    for (const head of [
      'How surprising was what was seen?',
      'Is the answer settled?',
      'The next attempt',
      'Odds of the next attempt as the logbook grew',
      'What stays with this vehicle, and was narrowed',
    ])
      expect(ran.out).toContain(head);
    expect(ran.out).toMatch(/^ {2}hop 1 +airframe\.mass +940 g ± 2 g +0\.9[23]\d \(0\.91\d to 0\.9[45]\d\) kg /m);
    expect(ran.out).toContain('A simulation is neither permission nor proof');
    expect(ran.out).not.toMatch(/NaN|undefined|null/);
    expect(readdirSync(join(folder, 'learned')).sort()).toEqual([
      'learned.arrow',
      'learned.yaml',
      'learning.json',
      'run.json',
      'study.yaml',
    ]);
    const learning = JSON.parse(readFileSync(join(folder, 'learned', 'learning.json'), 'utf8'));
    const mass = learning.narrowed.find(({ input }: { input: string }) => input === 'airframe.mass');
    // Of what stays, prior sd 0.8^0.5 of 9.3 g: measured 10 g heavy to 2 g, and 4.2 g of the flight's own.
    expect(mass.shift).toBeGreaterThan(0.4);
    expect(mass.sdRatio).toBeLessThan(0.8);
    expect(learning.flights).toBeLessThan(10_000);

    const flown = await alightHere(folder, 'fly', 'learned/learned.yaml', '--flights', '200', '--json', '--out', 'known');
    expect(flown.code).toBe(0);
    // The resolved study in the results holds the particles itself, and flies the same.
    const again = await alightHere(folder, 'fly', 'known/study.yaml', '--flights', '200', '--json', '--out', 'again');
    expect(again.code).toBe(0);
    expect(readFileSync(join(folder, 'again', 'flights.arrow'))).toEqual(readFileSync(join(folder, 'known', 'flights.arrow')));

    const checked = await alightHere(folder, 'check', 'learned/learned.yaml');
    expect(checked.out).toContain('What stays with this vehicle is drawn from 200 particles that learnt from a logbook.\n');
    const carded = await alightHere(folder, 'card', 'known', '--text');
    expect([carded.code, carded.err]).toEqual([0, '']);
    const noCard = await alightHere(folder, 'card', 'learned');
    expect([noCard.code, noCard.err]).toEqual([
      2,
      expect.stringMatching(/^learned: holds what was learnt, .*, or learned\.yaml in it .*\n$/),
    ]);
    const other = await alightHere(
      folder,
      'check',
      'learned/learned.yaml',
      '--set',
      'airframe.mass={ normal: { sd: 2 % }, stays: { airframe: 80 %, flight: 20 % } }',
    );
    expect(other.code).toBe(2);
    expect(other.err).toMatch(/inputs\.sample: read scores learnt under other distributions .* Learn again with this study\.\n$/);
    const drawn = await alightHere(folder, 'report', 'learned');
    expect([drawn.code, drawn.err, drawn.out]).toEqual([0, '', 'learned/report.html\n']);
    const page = readFileSync(join(folder, 'learned', 'report.html'), 'utf8');
    expect(page).toContain(learning.finding);
    expect(page).not.toMatch(/NaN|undefined|Infinity|<script/);
    const twice = await alightHere(folder, 'learn', 'learned/learned.yaml', 'one.yaml', '--out', 'twice');
    expect([twice.code, twice.err]).toEqual([2, expect.stringContaining('this study has learnt already')]);
    const shares = await alightHere(folder, 'rank', 'learned/learned.yaml', '--sobol');
    expect([shares.code, shares.err]).toEqual([2, expect.stringContaining('need inputs drawn on their own')]);
  });

  test('refuses a posterior of nothing: no simulated vehicle comes near', async () => {
    writeFileSync(
      join(folder, 'odd.yaml'),
      'title: t\nattempts:\n  - { name: a, observed: { apogee: 300 m ± 1 m, landingDistance: 2 m ± 1 m } }\n',
    );
    const ran = await alightHere(folder, 'learn', STUDY, 'odd.yaml', '--particles', '200', '--out', 'odd');
    expect([ran.code, ran.out]).toEqual([2, '']);
    expect(ran.err).toContain('no simulated vehicle comes near all that was seen, so nothing was learnt');
    expect(ran.err).toMatch(/^odd\.yaml:3:\d+ apogee of a: read 300 m ± 1 m; only 0\.5 % of simulated flights lie as far out\./m);
    expect(readdirSync(folder)).not.toContain('odd/learning.json');
  });

  test('refuses a sample that is none', async () => {
    writeFileSync(join(folder, 'no.arrow'), 'nothing');
    for (const [given, problem] of [
      ['no.arrow', 'that file holds something else; expected what alight learn wrote. Name learned.arrow.'],
      ['missing.arrow', 'no such file'],
    ]) {
      const text = readFileSync(join(folder, STUDY), 'utf8').replace(/^inputs:$/m, `inputs:\n  sample: ${given}`);
      writeFileSync(join(folder, 'sampled.yaml'), text);
      const ran = await alightHere(folder, 'check', 'sampled.yaml');
      expect([ran.code, ran.err]).toEqual([2, expect.stringContaining(`inputs.sample: read "${given}": ${problem}`)]);
    }
  });
});

describe('alight trace --log and alight replay', () => {
  test('the log’s first line says how to replay it bit for bit', async () => {
    expect(alight(folder, 'trace', STUDY, '17', '--log', 'hop.csv').code).toBe(0);
    const head = readFileSync(join(folder, 'hop.csv'), 'utf8').split('\n')[0];
    const words = head.slice(head.indexOf('LOG') + 4).split(' ');
    const ran = alight(folder, 'replay', STUDY, 'hop.csv', ...words);
    expect([ran.code, ran.err]).toEqual([0, '']);
    expect(ran.out).toMatch(/^hop\.csv: fixed-height lights at [\d.]+ s, .*; the believed height is the logged one at every row\.\n/);
    expect((await alightHere(folder, 'replay', STUDY, 'hop.csv', ...words, '--out', 'belief.csv')).code).toBe(0);
    const rows = readFileSync(join(folder, 'belief.csv'), 'utf8').split('\n');
    expect(rows[0]).toBe('time (s),height (m),speedUp (m/s),phase,logged.height (m),logged.speedUp (m/s),logged.phase');
    expect((await alightHere(folder, 'replay', STUDY, 'hop.csv', '--out', 'belief.csv')).code).toBe(2);
    expect((await alightHere(folder, 'replay', STUDY, 'hop.csv', ...words, '--out', 'hop.html')).code).toBe(0);
    const page = readFileSync(join(folder, 'hop.html'), 'utf8');
    expect(page).toContain('The believed height is the logged one at every row');
    expect(page).not.toMatch(/NaN|undefined|Infinity|<script/);
    const stands = await alightHere(folder, 'replay', STUDY, 'hop.csv', '--out', 'hop.html');
    expect([stands.code, stands.err]).toEqual([2, expect.stringContaining('hop.html: exists already')]);
    const ending = await alightHere(folder, 'replay', STUDY, 'hop.csv', '--out', 'hop.txt');
    expect([ending.code, ending.err]).toEqual([2, expect.stringContaining("read the ending '.txt'; expected .arrow or .csv or .html")]);
    const over = await alightHere(folder, 'trace', STUDY, '18', '--log', 'hop.csv');
    expect([over.code, over.err]).toEqual([2, expect.stringContaining('hop.csv')]);
    expect((await alightHere(folder, 'trace', STUDY, '18', '--log', 'hop.csv', '--force')).code).toBe(0);
  });

  test('of a logbook: each attempt’s log, by its rule', async () => {
    writeFileSync(
      join(folder, 'logs.yaml'),
      'title: t\nattempts:\n  - { rule: apogee-line, log: hop.csv, observed: { apogee: 45 m ± 5 m } }\n',
    );
    const ran = await alightHere(folder, 'replay', STUDY, 'logs.yaml', '--json');
    expect(ran.code).toBe(0);
    expect(JSON.parse(ran.out)).toMatchObject([{ rule: 'apogee-line' }]);
    writeFileSync(join(folder, 'spoilt.csv'), readFileSync(join(folder, 'hop.csv'), 'utf8').replace(/^([^,#t]*),[^,]*,/m, '$1,n/a,'));
    writeFileSync(join(folder, 'spoilt.yaml'), 'title: t\nattempts:\n  - { log: spoilt.csv, observed: { apogee: 45 m ± 5 m } }\n');
    const spoilt = await alightHere(folder, 'logbook', 'check', STUDY, 'spoilt.yaml');
    expect([spoilt.code, spoilt.err]).toEqual([
      2,
      expect.stringMatching(/^spoilt\.csv:3:\d+: read "n\/a"; expected a number for accelerationX\./),
    ]);
    const none = await alightHere(folder, 'replay', STUDY, 'one.yaml');
    expect([none.code, none.err]).toEqual([2, expect.stringContaining('no attempt has a log')]);
  });
});

test('alight new logbook writes a logbook and its schema, and never over another', async () => {
  expect((await alightHere(folder, 'new', 'logbook')).out).toContain(
    'wrote logbook.yaml, logbook.schema.json. Next: alight logbook check STUDY logbook.yaml',
  );
  const again = await alightHere(folder, 'new', 'logbook');
  expect([again.code, again.err]).toEqual([2, expect.stringContaining('logbook.yaml')]);
});
