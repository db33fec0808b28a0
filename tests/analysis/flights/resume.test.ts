/**
 * A run stopped at any moment goes on and ends in the same bytes: every command that flies and keeps results, with the
 * journal as it stood on disk at several moments, cut off anywhere.
 */
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { compareRules } from '../../../src/analysis/compare/compareRules.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { learnStudy } from '../../../src/analysis/learn/learnStudy.ts';
import type { Logbook } from '../../../src/analysis/logbook/logbook.ts';
import { openLogbook } from '../../../src/analysis/logbook/readLogbook.ts';
import { climb } from '../../../src/analysis/rank/climb.ts';
import { tuneControl } from '../../../src/analysis/tune/tuneControl.ts';
import { DoneAlready, UserError } from '../../../src/errors.ts';
import { JOURNAL } from '../../../src/results/folder.ts';
import { LOCK_FILE } from '../../../src/results/lock.ts';
import { demoWith, EVERY_COMMAND, filesOf } from '../../helpers/everyCommand.ts';
import { scratch } from '../../results/setUp.ts';

const root = scratch();
/** Of these only a late moment is tried. */
const COSTLY = ['campaign policies', 'fly until narrow', 'fly retuned', 'tune', 'rank toward', 'tune control', 'learn'];

const held = { low: 0.1, high: 0.1 };
/** Searches that cannot be flown in parts, so that they are not among every command. */
const SEARCHES: typeof EVERY_COMMAND = {
  'rank toward': async (options) => climb(await demoWith(), { ...options, wish: 0.05, flights: 500 }),
  'tune control': async (options) =>
    tuneControl(await demoWith(), { ...options, budget: 2000, bounds: { ki: held, kp: held, driftDamping: held, driftTilt: held } }),
  learn: async (options) =>
    learnStudy(await demoWith(), await logbook('apogee: 41 m ± 3 m'), { ...options, particles: 60, logbook: 'hops' }),
};

/** One attempt, with this seen of it. */
async function logbook(seen: string): Promise<Logbook> {
  const path = join(root, 'logbook.yaml');
  writeFileSync(path, `title: hops\nattempts:\n  - { name: hop 1, observed: { ${seen} } }\n`);
  return openLogbook(path, (await demoWith()).study);
}

/** The folder as a kill at this moment leaves it; its lock holds nobody then. */
function asKilled(folder: string, copy: string): void {
  rmSync(copy, { recursive: true, force: true });
  cpSync(folder, copy, { recursive: true });
  rmSync(join(copy, LOCK_FILE));
}

describe.each(Object.entries({ ...EVERY_COMMAND, ...SEARCHES }))('%s', (name, run) => {
  const at = (what: string): string => join(root, `${name}, ${what}`);

  test('goes on from wherever it was stopped, and ends in the same bytes', async () => {
    const moments = ['early', 'late'] as const;
    let told = 0;
    await run({
      out: at('whole'),
      threads: 2,
      chunk: 8,
      onProgress: () => {
        told++;
        if (told === 2) asKilled(at('whole'), at('early'));
        else if (told % 5 === 0) asKilled(at('whole'), at('late'));
      },
    });
    const whole = filesOf(at('whole'));
    expect(Object.keys(whole)).not.toContain(JOURNAL);
    expect(told).toBeGreaterThan(5);
    // A write that was under way when it was killed; what the disk makes of one when the power fails.
    truncateSync(join(at('early'), JOURNAL), readFileSync(join(at('early'), JOURNAL)).byteLength - 1001);
    writeFileSync(join(at('late'), JOURNAL), Buffer.alloc(5000), { flag: 'a' });
    for (const moment of moments.slice(COSTLY.includes(name) ? 1 : 0)) {
      const rates: number[] = [];
      await run({ out: at(moment), resume: true, threads: 1, chunk: 5, onProgress: ({ rate }) => rates.push(rate) });
      expect(filesOf(at(moment))).toEqual(whole);
      // What was flown is found, at no pace of its own.
      expect(rates[0]).toBe(0);
    }
  }, 120_000);
});

describe('a run that goes on', () => {
  /** A folder as a kill left it after its first chunk. */
  async function stopped(name: string): Promise<string> {
    const path = join(root, name);
    let copied = false;
    await flyStudy(await demoWith('flights=200'), {
      out: `${path} whole`,
      chunk: 16,
      onProgress: () => {
        if (copied) return;
        copied = true;
        asKilled(`${path} whole`, path);
      },
    });
    return path;
  }

  test('begins where nothing stands', async () => {
    const out = join(root, 'nothing there');
    await flyStudy(await demoWith('flights=40'), { out, resume: true });
    await flyStudy(await demoWith('flights=40'), { out: `${out} plain` });
    expect(filesOf(out)).toEqual(filesOf(`${out} plain`));
  });

  test('flies nothing again that was flown', async () => {
    const out = await stopped('not again');
    const flown: number[] = [];
    await flyStudy(await demoWith('flights=200'), { out, resume: true, onProgress: ({ rate, done }) => rate === 0 && flown.push(done) });
    // Told with no pace: found, not flown.
    expect(flown[0]).toBe(16);
  });

  test('is the same run: another study, other options and another command are refused, and nothing is lost', async () => {
    const out = await stopped('another');
    const before = filesOf(out);
    const other = await demoWith('flights=200', 'limits.sink=2 m/s');
    await expect(flyStudy(other, { out, resume: true })).rejects.toThrow(
      `${join(out, JOURNAL)}: is of another run: the study was another;`,
    );
    const same = await demoWith('flights=200');
    await expect(flyStudy(same, { out, resume: true, halfWidth: 0.01 })).rejects.toThrow('halfWidth was none, not 0.01');
    await expect(compareRules(same, { out, resume: true })).rejects.toThrow('command was "fly", not "compare"');
    expect(filesOf(out)).toEqual(before);
    await expect(flyStudy(same, { out })).rejects.toThrow(
      new UserError(
        `${out}: holds what an interrupted run has flown; --resume goes on with it, --force flies it anew, or choose another folder`,
      ),
    );
  });

  test('of results that are whole says so, where they are its own, and refuses others', async () => {
    const out = join(root, 'whole already');
    await flyStudy(await demoWith('flights=20'), { out });
    const before = filesOf(out);
    const again = flyStudy(await demoWith('flights=20'), { out, resume: true });
    await expect(again).rejects.toThrow(new DoneAlready(`${out}: holds this run whole already; nothing is left to fly`));
    await expect(again).rejects.toBeInstanceOf(DoneAlready);
    await expect(flyStudy(await demoWith('flights=21'), { out, resume: true })).rejects.toThrow('and nothing to go on with');
    await expect(flyStudy(await demoWith('flights=20'), { out, resume: true, force: true })).rejects.toThrow('give one of them');
    expect(filesOf(out)).toEqual(before);
    // run.json is known for ours with what it says more.
    await flyStudy(await demoWith('flights=20'), { out, force: true });
  });

  test('of learning: another logbook is another run, and one that teaches nothing leaves nothing to go on with', async () => {
    const out = join(root, 'learning');
    const study = await demoWith();
    const options = { particles: 40, logbook: 'hops', out };
    const stop = new AbortController();
    const stopped = learnStudy(study, await logbook('apogee: 41 m ± 3 m'), {
      ...options,
      stopSignal: stop.signal,
      onProgress: () => stop.abort(),
    });
    expect(await stopped).toBeNull();
    expect(readdirSync(out)).toEqual([JOURNAL]);
    const impossible = await logbook('apogee: 90 m ± 0.5 m');
    await expect(learnStudy(study, impossible, { ...options, resume: true })).rejects.toThrow('the content of the logbook was another');
    rmSync(join(out, JOURNAL));
    await expect(learnStudy(study, impossible, options)).rejects.toThrow('no simulated vehicle comes near all that was seen');
    expect(readdirSync(out)).toEqual([]);
  });

  test('after Ctrl-C under --force goes on within, and then takes the place of the older results, unfinished ones too', async () => {
    const out = join(root, 'within');
    const study = await demoWith('flights=200');
    await flyStudy(await demoWith('flights=30', 'seed=other'), { out });
    const older = filesOf(out);
    for (const left of ['unfinished-1', 'unfinished-2']) {
      const stop = new AbortController();
      const { summary, folder } = await flyStudy(study, {
        out,
        force: true,
        chunk: 8,
        stopSignal: stop.signal,
        onProgress: () => stop.abort(),
      });
      expect([summary.stoppedBy, folder]).toEqual(['interrupted', join(out, left)]);
    }
    for (const [name, bytes] of Object.entries(older)) expect(readFileSync(join(out, name)).equals(bytes)).toBe(true);
    // A page of what was flown by then would be about fewer flights.
    expect(existsSync(join(out, 'unfinished-2', JOURNAL))).toBe(true);
    await flyStudy(study, { out, resume: true });
    await flyStudy(study, { out: `${out} plain` });
    expect(filesOf(out)).toEqual(filesOf(`${out} plain`));
  });

  test('begins anew from a journal that was stopped before it said anything, and leaves what is none of ours', async () => {
    const out = join(root, 'cut');
    mkdirSync(out);
    writeFileSync(join(out, JOURNAL), 'alight');
    await flyStudy(await demoWith('flights=20'), { out, resume: true });
    expect(readdirSync(out).sort()).toEqual(['flights.arrow', 'run.json', 'study.yaml', 'summary.json']);
    const mine = join(root, 'mine');
    mkdirSync(mine);
    writeFileSync(join(mine, JOURNAL), 'my diary');
    await expect(flyStudy(await demoWith('flights=20'), { out: mine, resume: true })).rejects.toThrow('is no journal of alight');
    expect(readFileSync(join(mine, JOURNAL), 'utf8')).toBe('my diary');
  });
});
