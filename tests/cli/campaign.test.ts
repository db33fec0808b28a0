/** The command as a user runs it: the built program on a few campaigns of the demo. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { alight, alightHere, demoFolder } from '../helpers/commandLine.ts';

const folder = demoFolder();
const STUDY = 'thistledown.yaml';

describe('alight campaign', () => {
  test('opens with what to plan for, prints the answers with intervals, and writes the folder', async () => {
    const ran = alight(folder, 'campaign', STUDY, '--campaigns', '60', '--attempts', '5', '--out', 'r');
    expect(ran.code).toBe(0);
    expect(ran.out.split('\n')[0]).toMatch(/^Plan for \d attempts.* for even odds of a first landing/);
    expect(ran.out).toContain('60 campaigns by rule fixed-height, seed 1');
    expect(ran.out).toContain(
      'at most 5 attempts; 3 a day, 6 motors of each kind in a purchase; rebuilt after a touchdown faster than 8.00 m/s or tipping over',
    );
    expect(ran.out).toMatch(/^ {2}1 +\d+ % +\d+ to \d+ % +\d+ % +\d+ to \d+ % +\d+ %$/m);
    expect(ran.out).toMatch(/one builder in ten has a vehicle that lands less than [\d.]+ % \([\d.]+ to [\d.]+ %\) of its flights/);
    expect(ran.out).toContain('A simulation is neither permission nor proof');
    expect(ran.out).not.toMatch(/NaN|undefined|null/);
    expect(ran.err).toContain('60 of 60 campaigns');
    expect(readdirSync(join(folder, 'r')).sort()).toEqual(['campaign.arrow', 'campaign.json', 'run.json', 'study.yaml']);
    expect(JSON.parse(readFileSync(join(folder, 'r', 'campaign.json'), 'utf8')).plan.attempts).toBe(5);
    const again = await alightHere(folder, 'campaign', STUDY, '--campaigns', '3', '--out', 'r');
    expect(again.code).toBe(2);
    expect(again.err).toContain('holds results already (campaign.json, campaign.arrow, study.yaml, run.json)');
    const traced = JSON.parse((await alightHere(folder, 'trace', 'r/study.yaml', '2:1', '--json')).out);
    expect(traced.flight).toBe('2:1');
    expect(await alightHere(folder, 'report', 'r')).toMatchObject({ code: 0, out: `${join('r', 'report.html')}\n` });
    expect(readFileSync(join(folder, 'r', 'report.html'), 'utf8')).toContain('Attempts in a row, rule fixed-height');
  });

  test('says what to change after a miss, what to measure first, and what it costs', async () => {
    const costs = 'campaign.costs={ currency: EUR, attempt: 30, rebuild: 50 }';
    const words = [
      '--campaigns',
      '60',
      '--attempts',
      '5',
      '--policies',
      'correct:0.5,weighted',
      '--hold',
      '--levels',
      '--set',
      costs,
      '--out',
      'ways',
    ];
    const ran = await alightHere(folder, 'campaign', STUDY, ...words);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/What to change after a miss\n {2}After a miss, /);
    expect(ran.out).toMatch(/^ {2}correct:0\.5 +[\d.]+ +[+-][\d.]+ \([+-][\d.]+ to [+-][\d.]+\) +(fewer|more|not told apart)/m);
    expect(ran.out).toContain('height is moved against it, from 7.00 m');
    expect(ran.out).toMatch(/What is worth measuring before you fly\n {2}(Measur|Nothing)/);
    expect(ran.out).toMatch(/The vehicle, its days and its motors apart\n.* two flights share, with the vehicle alone: -?[\d.]+ % \(/);
    expect(ran.out).toContain('a direction all round has no centre: rail.azimuth, wind.direction');
    expect(ran.out).toMatch(/even odds of a first landing: \d+ EUR \(\d+ to \d+\)/);
    expect(ran.out).not.toMatch(/NaN|undefined|null/);
    const traced = JSON.parse((await alightHere(folder, 'trace', 'ways/study.yaml', '2:1', '--policy', 'correct:0.5', '--json')).out);
    expect(traced.flight).toBe('2:1');
    await alightHere(folder, 'fly', STUDY, '--flights', '60', '--out', 'flown');
    const card = await alightHere(folder, 'card', 'flown', '--campaign', 'ways', '--text');
    expect(card.out).toMatch(/AFTER A MISS\n {2}(Leave height at 7 m|Attempt after attempt, correct)/);
    expect(card.out).toMatch(/result +miss seen, m +change to program +note/);
    expect((await alightHere(folder, 'card', STUDY, '--campaign', 'ways', '--text')).err).toContain('--campaign: needs results beside it');
    for (const policy of ['G-swept', 'weighted']) {
      expect(await alightHere(folder, 'trace', 'ways/study.yaml', '2:1', '--policy', policy)).toMatchObject({ code: 2 });
    }
    expect((await alightHere(folder, 'trace', STUDY, '3', '--policy', 'keep')).err).toBe(
      '--policy: only an attempt, CAMPAIGN:ATTEMPT, has one\n',
    );
  });

  test('says that the curve is the naive one where nothing stays, and that campaigns are too few', async () => {
    const text = readFileSync(join(folder, STUDY), 'utf8');
    writeFileSync(join(folder, 'fresh.yaml'), text.replace(/, stays: (\{[^}]*\}|\w+)/g, ''));
    const ran = await alightHere(folder, 'campaign', 'fresh.yaml', '--campaigns', '3', '--attempts', '2', '--out', 'few');
    expect(ran.code).toBe(0);
    expect(ran.out).toContain('no input stays from flight to flight (`stays:` under inputs)');
    expect(ran.out).toContain('too few to tell: at least 10 campaigns must have landed');
  });

  test.each([
    [['--attempts', '0'], 'expected a whole number from 1 to 200.'],
    [['--campaigns', '0'], 'expected a whole number from 1 to 100000.'],
    [['--campaigns', '50000', '--attempts', '20'], '50000 campaigns of at most 20 attempts: expected at most 400000 attempts in all'],
    [['--rule', 'fixed'], 'fixed'],
    [['--policies', 'correct:3'], '--policies: read "correct:3"; expected a gain from 0 to 2'],
    [['--policies', 'chase'], '--policies: read "chase"; expected one of keep, correct:0.5, harmonic, weighted, G-swept.'],
    [['--set', 'campaign.costs.attempt=30'], 'campaign.costs.currency'],
    [['--set', 'campaign.observation.error=-1 m'], 'campaign.observation.error'],
    [['--set', 'inputs.wind.speed.stays=week'], '--set inputs.wind.speed.stays=week'],
  ])('refuses %s', async (words, line) => {
    const ran = await alightHere(folder, 'campaign', STUDY, '--out', 'refused', ...words);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain(line);
    expect(readdirSync(folder)).not.toContain('refused');
  });
});

test.each(['0:1', '1:0', '1:', 'a:1'])('alight trace refuses attempt %s', async (text) => {
  const ran = await alightHere(folder, 'trace', STUDY, text);
  expect(ran.code).toBe(2);
  expect(ran.err).toContain('an attempt as CAMPAIGN:ATTEMPT');
});
