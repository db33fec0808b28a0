/** Logbooks read against the demo, and every mistake with its place. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Logbook } from '../../../src/analysis/logbook/logbook.ts';
import { LOGBOOK_SCHEMA_NAME, logbookSchemaText, newLogbook } from '../../../src/analysis/logbook/logbookFiles.ts';
import { openLogbook } from '../../../src/analysis/logbook/readLogbook.ts';
import { UserError } from '../../../src/errors.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { openStudy } from '../../../src/study/load.ts';

const folder = mkdtempSync(join(tmpdir(), 'alight-logbook-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const STUDIES = new URL('../../../studies/', import.meta.url).pathname;
const { study } = await openStudy(`${STUDIES}thistledown.yaml`);

function open(text: string): Promise<Logbook> {
  const path = join(folder, 'logbook.yaml');
  writeFileSync(path, text);
  return openLogbook(path, study);
}

/** Without the folder's name. */
async function problemsOf(text: string): Promise<string[]> {
  try {
    await open(text);
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((line) => line.replaceAll(`${folder}/`, ''));
    throw error;
  }
  throw new Error('the logbook was accepted');
}

const attempt = (lines: string): string => `title: mine\nattempts:\n  - name: hop 1\n${lines}`;

describe('what a logbook says', () => {
  it('of the demo: five attempts, each with its airframe, day and what was measured', async () => {
    const { attempts, next } = await openLogbook(`${STUDIES}thistledown-logbook.yaml`, study);
    expect(attempts.map(({ name }) => name)).toEqual(['hop 1', 'hop 2', 'hop 3', 'hop 4', 'hop 5']);
    expect(attempts.map(({ having }) => having.airframe)).toEqual(['first', 'first', 'second', 'second', 'third']);
    expect(attempts.map(({ having }) => having.day)).toEqual(['saturday', 'saturday', 'saturday', 'sunday', 'sunday']);
    expect(attempts[3].notSeen).toEqual(['ignitionHeight']);
    // The same vehicle, on a day that nobody met.
    expect(next.having).toMatchObject({ electronics: 'board 1', airframe: 'third', batch: 'april' });
    expect(['saturday', 'sunday']).not.toContain(next.having.day);
  });

  it('in SI: values with errors, shares of a value, betweens, words, never, chances of their own', async () => {
    const { attempts } = await open(
      attempt(
        [
          '    rule: fixed-height',
          '    constants: { height: 720 cm, lead: 100 ms }',
          '    set: { airframe.mass: 932 g ± 3 g, rail.tilt: 1 deg, site.temperature: 15 degC ± 2 K }',
          '    observed:',
          '      outcome: { was: landed, misjudged: 10 % }',
          '      apogee: 61 +- 2 m',
          '      sink: between 1 m/s and 2.5 m/s',
          '      tilt: 4 deg +/- 25 %',
          '      hops: 1',
          '      guardHeld: no',
          '      landingBurnoutHeight: never',
          '      slide: not seen',
          '',
        ].join('\n'),
      ),
    );
    const [{ constants, pins, observations, notSeen }] = attempts;
    expect(constants).toEqual({ height: 7.2, lead: 0.1 });
    expect(pins).toEqual({ 'rail.tilt': Math.PI / 180 });
    const sights = Object.fromEntries(observations.map(({ key, sight }) => [key, sight]));
    expect(sights['airframe.mass']).toEqual({ kind: 'value', value: 0.932, error: 0.003 });
    expect(sights['site.temperature']).toEqual({ kind: 'value', value: 288.15, error: 2 });
    expect(sights.apogee).toEqual({ kind: 'value', value: 61, error: 2 });
    expect(sights.sink).toEqual({ kind: 'within', low: 1, high: 2.5 });
    expect(sights.outcome).toEqual({ kind: 'exactly', value: OUTCOMES.indexOf('landed') });
    expect(sights.hops).toEqual({ kind: 'exactly', value: 1 });
    expect(sights.guardHeld).toEqual({ kind: 'exactly', value: 0 });
    expect(sights.landingBurnoutHeight).toEqual({ kind: 'never' });
    const tilt = observations.find(({ key }) => key === 'tilt')?.sight;
    expect(tilt).toMatchObject({ kind: 'value' });
    if (tilt?.kind === 'value') expect(tilt.error).toBeCloseTo(Math.PI / 180, 12);
    expect(observations.map(({ key, misjudged }) => [key, misjudged])).toContainEqual(['outcome', 0.1]);
    expect(notSeen).toEqual(['slide']);
  });

  it('what is left out stays as at the attempt before', async () => {
    const text =
      'title: t\nattempts:\n  - { day: 1, batch: x, observed: { apogee: 50 m ± 1 m } }\n  - { airframe: b, observed: { apogee: 50 m ± 1 m } }\n';
    const { attempts } = await open(text);
    expect(attempts[1]).toMatchObject({ name: 'attempt 2', rule: 'fixed-height', having: { day: '1', batch: 'x', airframe: 'b' } });
  });
});

describe('what is wrong with a logbook, each in one line with its place', () => {
  const cases: readonly (readonly [name: string, lines: string, expected: RegExp])[] = [
    [
      'a rule that the study lacks',
      '    rule: fixed-hight\n    observed: { apogee: 50 m ± 1 m }\n',
      /^logbook\.yaml:4:11 attempts\.0\.rule: read "fixed-hight"; expected one of the study’s rules: .*Did you mean "fixed-height"\?$/,
    ],
    [
      'a value without an error',
      '    observed: { apogee: 50 m }\n',
      /:4:25 attempts\.0\.observed\.apogee: read "50 m"; expected a length as value ± error, such as/,
    ],
    ['an error of nothing', '    observed: { apogee: 50 m ± 0 m }\n', /expected an error above 0/],
    [
      'a value that cannot be',
      '    observed: { apogee: -5 m ± 1 m }\n',
      /:4:25 .*read "-5 m ± 1 m"; expected a length that can be, from 0 m to 10000 m/,
    ],
    [
      'a tilt of more than upside down',
      '    observed: { tilt: 200 deg ± 5 deg }\n',
      /expected an angle that can be, from 0 deg to 180 deg/,
    ],
    ['a value of another dimension', '    observed: { apogee: 50 s ± 1 s }\n', /read "50 s ± 1 s" \(that is a time\); expected a length/],
    ['a word that is no outcome', '    observed: { outcome: crashed }\n', /:4:26 .*read "crashed"; expected "not seen" or one of landed, /],
    ['a flight without a result', '    observed: { outcome: no result }\n', /read "no result"; expected "not seen" or one of landed, /],
    [
      'an unknown output',
      '    observed: { apogy: 50 m ± 1 m }\n',
      /:4:17 attempts\.0\.observed\.apogy: unknown output; .*Did you mean "apogee"\?$/,
    ],
    [
      'an input under observed',
      '    observed: { airframe.mass: 930 g ± 1 g }\n',
      /unknown output; .*That is an input: put it under set\.$/,
    ],
    [
      'an unknown input',
      '    set: { airframe.weight: 930 g }\n    observed: { apogee: 50 m ± 1 m }\n',
      /:4:12 attempts\.0\.set\.airframe\.weight: unknown input/,
    ],
    [
      'a measured input that does not vary',
      '    set: { legs.releaseTime: 1 s ± 0.1 s }\n    observed: { apogee: 50 m ± 1 m }\n',
      /of an input that the study does not vary; expected a plain value/,
    ],
    [
      'the mass of another vehicle, measured',
      '    set: { airframe.mass: 1.4 kg ± 2 g }\n    observed: { apogee: 50 m ± 1 m }\n',
      /:4:27 .*read "1\.4 kg ± 2 g"; expected what the study’s vehicle can have, 0\.88\d+ kg to 0\.97\d+ kg .*another vehicle’s logbook\?/,
    ],
    [
      'the mass of another vehicle, known exactly',
      '    set: { airframe.mass: 1.4 kg }\n    observed: { apogee: 50 m ± 1 m }\n',
      /read 1\.4 kg, but the study’s airframe\.mass is 0\.93 kg; expected the same within 15 %/,
    ],
    [
      'a constant of another rule',
      '    rule: fixed-height\n    constants: { c0: 3 m }\n    observed: { apogee: 50 m ± 1 m }\n',
      /unknown constant of fixed-height; expected one of height, lead, tiltGuard/,
    ],
    ['nothing seen', '    observed: { apogee: not seen }\n', /^logbook\.yaml:3:5 attempts\.0: read nothing that was seen/],
    [
      'a log that is not there',
      '    log: nowhere.csv\n    observed: { apogee: 50 m ± 1 m }\n',
      /:4:10 attempts\.0\.log: read "nowhere\.csv": no such file/,
    ],
    ['an unknown key', '    seen: { apogee: 50 m ± 1 m }\n', /:4:5 attempts\.0\.seen: unknown key; expected one of name, /],
    ['ends in the wrong order', '    observed: { sink: between 3 m/s and 1 m/s }\n', /expected the smaller end first/],
  ];

  it.each(cases)('%s', async (_, lines, expected) => {
    const problems = await problemsOf(attempt(lines));
    expect(problems).toEqual([expect.stringMatching(expected)]);
  });

  it('all at once, in the order of the file', async () => {
    const problems = await problemsOf(attempt('    rule: none\n    observed: { apogee: 5, sink: x }\n'));
    expect(problems.map((line) => line.split(' ')[0])).toEqual(['logbook.yaml:4:11', 'logbook.yaml:5:25', 'logbook.yaml:5:34']);
  });

  it('no attempts, names twice, an error for what is still to come, no YAML, no file', async () => {
    expect(await problemsOf('title: t\nattempts: []\n')).toEqual([expect.stringContaining('read 0 attempts; expected 1 to 100')]);
    const twice =
      'title: t\nattempts:\n  - { name: a, observed: { apogee: 5 m ± 1 m } }\n  - { name: a, observed: { apogee: 5 m ± 1 m } }\n';
    expect(await problemsOf(twice)).toEqual([expect.stringMatching(/^logbook\.yaml:4:13 .*read "a" a second time/)]);
    const next = `${attempt('    observed: { apogee: 50 m ± 1 m }\n')}next: { set: { wind.speed: 2 m/s ± 1 m/s } }\n`;
    expect(await problemsOf(next)).toEqual([expect.stringContaining('the next attempt is still to come')]);
    expect(await problemsOf('title: [')).toEqual([expect.stringContaining('not sound YAML')]);
    await expect(openLogbook(join(folder, 'none.yaml'), study)).rejects.toThrow('no such file');
  });
});

describe('the files of a new logbook', () => {
  it('are sound against a study of the same size', async () => {
    const text = newLogbook()[0].text.replaceAll('748 g ± 3 g', '931 g ± 3 g');
    expect((await open(text)).attempts).toHaveLength(2);
  });

  // Renew: node -e "import('./dist/analysis/logbook/logbookFiles.js').then(m => fs.writeFileSync('studies/logbook.schema.json', m.logbookSchemaText()))"
  it('the schema beside the demo is that of this version', () => {
    expect(readFileSync(`${STUDIES}${LOGBOOK_SCHEMA_NAME}`, 'utf8')).toBe(logbookSchemaText());
  });
});
