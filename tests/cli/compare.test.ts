/** The command as a user runs it: the built program on a few flights of the demo. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { alight, alightHere } from '../helpers/commandLine.ts';

const STUDY = 'studies/thistledown.yaml';
const folder = mkdtempSync(join(tmpdir(), 'alight-cli-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const here = (...words: readonly string[]) => alightHere('.', ...words);

describe('alight compare', () => {
  it('prints rules, pairs, flights to trace and the input asked for, and writes the folder', async () => {
    const out = join(folder, 'plain');
    const run = alight(
      '.',
      'compare',
      STUDY,
      '--flights',
      '120',
      '--across',
      'wind.speed',
      '--across',
      'landing.igniterFails',
      '--out',
      out,
    );
    expect(run.code).toBe(0);
    expect(run.out).toContain('Thistledown, light wind: 4 rules on the same 120 flights, seed 1');
    expect(run.out).toMatch(/^ {2}apogee-line +\d+ % +\d+ to \d+ % +120 +0 /m);
    expect(run.out).toContain('Pair by pair, differences in percentage points');
    expect(run.out).toContain('one look at a number of flights fixed in advance: differences with 95 % intervals for pairs');
    expect(run.out.match(/^ {2}of 120 flights both landed \d+, only .+, neither \d+$/gm)).toHaveLength(6);
    expect(run.out.match(/^ {2}on the same luck each flight is worth \d/gm)).toHaveLength(6);
    expect(run.out).toContain('Across wind.speed, m/s: mean wind at 10 m');
    expect(run.out.match(/├─*●─*┤/g)?.length).toBeGreaterThanOrEqual(12);
    expect(run.out).toMatch(/^ {2}no or yes +fixed-height +120 /m);
    expect(run.out).toContain('A simulation is neither permission nor proof');
    expect(run.out).not.toMatch(/NaN|undefined|-0\.?0* |null/);
    expect(readdirSync(out).sort()).toEqual(['across.arrow', 'comparison.json', 'flights.arrow', 'run.json', 'study.yaml']);
    const written = JSON.parse(readFileSync(join(out, 'comparison.json'), 'utf8'));
    // What it names as landed by one rule alone, trace confirms.
    const { first, second, firstOnly } = written.discordant[0];
    for (const [rule, landed] of [
      [first, true],
      [second, false],
    ] as const) {
      const traced = await here('trace', join(out, 'study.yaml'), String(firstOnly[0]), '--rule', rule, '--json');
      expect(JSON.parse(traced.out).outputs.outcome === 'landed').toBe(landed);
    }

    const again = await here('compare', STUDY, '--flights', '10', '--out', out);
    expect(again.code).toBe(2);
    expect(again.err).toContain('holds results already (flights.arrow, comparison.json, across.arrow, study.yaml, run.json)');
  });

  it('until resolved, says which procedure decides', async () => {
    const run = await here(
      ...['compare', STUDY, '--rules', 'apogee-line, speed-curve', '--flights', '80', '--until-resolved', '--margin', '1%'],
      ...['--out', join(folder, 'until')],
    );
    expect(run.code).toBe(0);
    expect(run.out).toContain('looked at every 1,000 flights, as planned; intervals and p hold for all looks together');
    expect(run.out).toContain('not decided by 80 flights');
    expect(run.out).toContain('Stopped at 80 flights by each: --flights allows no more.');
    expect(run.out).not.toContain('one look at a number of flights');
  });

  it('as JSON holds everything, and nothing else goes to standard output', async () => {
    const out = join(folder, 'json');
    const run = await here('compare', STUDY, '--flights', '30', '--seed', '0', '--out', out, '--json');
    const printed = JSON.parse(run.out);
    const { run: facts, folder: where, ...comparison } = printed;
    expect(comparison).toEqual(JSON.parse(readFileSync(join(out, 'comparison.json'), 'utf8')));
    expect(comparison).toMatchObject({ seed: '0', flights: 30, overrides: ['flights=30', 'seed=0'] });
    expect(facts.threads).toBeGreaterThan(0);
    expect(where).toBe(out);
  });

  it('puts variants of the study side by side, and says what each is', async () => {
    const out = join(folder, 'variants');
    const run = await here('compare', STUDY, '--variants', 'replay', '--as-programmed', '--flights', '60', '--out', out);
    expect(run.code).toBe(0);
    expect(run.out).toContain('2 designs on the same 60 flights');
    expect(run.out).toContain('base: the study as it is');
    expect(run.out).toContain('replay: phases.replay=on');
    expect(run.out).toMatch(/constants of replay look stale by about -.*; leave out --as-programmed/);
    const written = JSON.parse(readFileSync(join(out, 'comparison.json'), 'utf8'));
    const traced = await here('trace', STUDY, String(written.discordant[0].firstOnly[0]), '--variant', 'replay', '--json');
    expect(JSON.parse(traced.out).outputs.outcome).not.toBe('landed');
  });

  it('of results of different studies compares as unpaired, and says so', async () => {
    const [one, two] = [join(folder, 'calm'), join(folder, 'low')];
    expect((await here('fly', STUDY, '--flights', '100', '--out', one)).code).toBe(0);
    expect((await here('fly', STUDY, '--flights', '100', '--set', 'rules.fixed-height.height=1', '--out', two)).code).toBe(0);
    const run = await here('compare', one, two);
    expect(run.code).toBe(0);
    expect(run.out).toContain('Results of separate flights side by side: unpaired');
    // lighting six metres lower lands hardly any of 100 flights
    expect(run.out).toMatch(/calm minus .*low: \d+ \(\d+ to \d+\) points; p under 0\.0001/);
    const { sides, pairs, unpaired } = JSON.parse((await here('compare', one, two, '--json')).out);
    expect([unpaired, sides.length, pairs.length]).toEqual([true, 2, 1]);
    expect(sides[0].studyHash).not.toBe(sides[1].studyHash);
    const refused = await here('compare', one, two, '--flights', '10');
    expect([refused.code, refused.err]).toEqual([2, '--flights: these flights are flown already; give one study to fly others\n']);
    expect((await here('report', one, two)).err).toContain(`compare them as unpaired: alight compare ${one} ${two}`);
  });

  it.each([
    [['--rules', 'apogee-lime,fixed-height'], 'Did you mean "apogee-line"?'],
    [['--rules', 'fixed-height'], 'a comparison needs two rules or more: read "fixed-height" alone'],
    [['--across', 'site.pressure'], '--across: site.pressure does not vary in this study; nearest that do: site.temperature'],
    [['--margin', '1%'], '--margin: only --until-resolved stops by it'],
    [['--as-programmed'], '--as-programmed: only with --variants'],
    [['--variants', 'replay', '--retune'], '--retune: variants are retuned anyway'],
    [['--variants', 'reply'], 'no variant "reply"; expected one of base, replay, light, springs. Did you mean "replay"?'],
    [['--margin', '3'], 'expected a share between 0 and 1'],
  ])('refuses %o in one line, and writes nothing', async (words, message) => {
    const out = join(folder, 'refused');
    const run = await here('compare', STUDY, ...words, '--out', out);
    expect(run.code).toBe(2);
    expect(run.err).toContain(message);
    expect(run.err).not.toContain('    at ');
    expect(run.out).toBe('');
    expect(readdirSync(folder)).not.toContain('refused');
  });
});
