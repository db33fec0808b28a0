/** Parts flown apart and joined in any order are one run, byte for byte; what is no whole set of parts is refused by name. */
import { cpSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import { compareRules } from '../../../src/analysis/compare/compareRules.ts';
import { flyStudy } from '../../../src/analysis/fly/flyStudy.ts';
import { joinParts } from '../../../src/analysis/join/joinParts.ts';
import { climb } from '../../../src/analysis/rank/climb.ts';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { rankSobol } from '../../../src/analysis/rank/rankSobol.ts';
import { tuneControl } from '../../../src/analysis/tune/tuneControl.ts';
import { UserError } from '../../../src/errors.ts';
import { JOURNAL } from '../../../src/results/folder.ts';
import { JournalFile } from '../../../src/results/journal.ts';
import { openFlights } from '../../../src/results/reader.ts';
import { openStudy } from '../../../src/study/load.ts';
import { demoFolder } from '../../helpers/commandLine.ts';
import { demoWith, EVERY_COMMAND, filesOf } from '../../helpers/everyCommand.ts';
import { scratch } from '../../results/setUp.ts';

const root = scratch();
const IN_PARTS = Object.entries(EVERY_COMMAND).filter(([name]) => name !== 'fly until narrow');
/** Of these one part has neither the first flights nor the last. */
const THREE = ['fly', 'compare', 'campaign', 'rank fixes'];

test.each(IN_PARTS)(
  '%s in parts is one run',
  async (name, run) => {
    const parts = THREE.includes(name) ? 3 : 2;
    const at = (what: string): string => join(root, `${name}, ${what}`);
    await run({ out: at('whole'), threads: 1 });
    for (let number = 1; number <= parts; number++) await run({ out: at(`${number}`), threads: 1, part: { number, parts } });
    await joinParts([at('2'), ...(parts === 3 ? [at('3')] : []), at('1')], { out: at('joined') });
    expect(filesOf(at('joined'))).toEqual(filesOf(at('whole')));
  },
  300_000,
);

test('a ranking of groups in parts is one run: each part flies the inputs of all groups, the join asks for those that lead', async () => {
  const folder = demoFolder();
  const study = parseDocument(readFileSync(join(folder, 'thistledown.yaml'), 'utf8'));
  // Few inputs, one of which loses most flights: its group leads, whatever the luck.
  const spread = (sd: string) => ({ normal: { sd } });
  const inputs = { 'ascent.impulseFactor': spread('9 %'), 'ascent.burnTimeFactor': spread('1 %'), 'rail.tilt': spread('0.1 deg') };
  study.setIn(['inputs'], inputs);
  study.deleteIn(['variants']);
  writeFileSync(join(folder, 'few.yaml'), String(study));
  const opened = await openStudy(join(folder, 'few.yaml'), { set: ['flights=60'] });
  const { ranking } = await rankFixes(opened, { out: join(folder, 'whole') });
  expect([ranking.leaders, ranking.inputs.length]).toEqual([['ascent motor'], 2]);
  for (const number of [1, 2]) await rankFixes(opened, { out: join(folder, `${number}`), part: { number, parts: 2 } });
  await joinParts([join(folder, '2'), join(folder, '1')], { out: join(folder, 'joined') });
  expect(filesOf(join(folder, 'joined'))).toEqual(filesOf(join(folder, 'whole')));
});

describe('parts', () => {
  const part = async (name: string, number: number, parts: number, ...set: string[]): Promise<string> => {
    const out = join(root, name);
    await flyStudy(await demoWith('flights=40', ...set), { out, threads: 1, part: { number, parts } });
    return out;
  };

  test('hold their own flights, and one that is flown again with --resume is as it was', async () => {
    const out = await part('own', 2, 3);
    const file = await openFlights(join(out, 'flights.arrow'));
    expect([...file.number('flight')]).toEqual(Array.from({ length: 13 }, (_, i) => 14 + i));
    await file.close();
    const before = filesOf(out);
    expect(Object.keys(before)).toEqual(['flights.arrow', JOURNAL, 'study.yaml']);
    await flyStudy(await demoWith('flights=40'), { out, part: { number: 2, parts: 3 }, resume: true });
    expect(filesOf(out)).toEqual(before);
  });

  test('more than there are flights are fine: some fly none', async () => {
    const study = await demoWith('flights=2');
    const folders: string[] = [];
    for (const number of [1, 2, 3, 4]) {
      folders.push(join(root, `few ${number}`));
      await flyStudy(study, { out: folders[number - 1], part: { number, parts: 4 } });
    }
    await joinParts(folders, { out: join(root, 'few') });
    await flyStudy(study, { out: join(root, 'few whole') });
    expect(filesOf(join(root, 'few'))).toEqual(filesOf(join(root, 'few whole')));
  });

  test('that are missing, doubled, foreign or unfinished are refused by name, and nothing is written', async () => {
    const [a, b] = [await part('a', 1, 3), await part('b', 2, 3)];
    const out = join(root, 'never');
    const refused = async (folders: readonly string[]): Promise<readonly string[]> => {
      const error: unknown = await joinParts(folders, { out }).then(
        () => null,
        (problem: unknown) => problem,
      );
      if (!(error instanceof UserError)) throw error;
      return error.problems;
    };
    expect(await refused([a, b])).toEqual(['missing: part 3 of 3']);
    expect(await refused([a])).toEqual(['missing: parts 2, 3 of 3']);
    cpSync(b, join(root, 'copy'), { recursive: true });
    expect(await refused([b, join(root, 'copy'), a])).toEqual([
      `${join(root, 'copy')}: is part 2/3, as ${b} is; name one of them`,
      'missing: part 3 of 3',
    ]);
    const [study, seed, of] = [
      await part('study', 3, 3, 'limits.sink=2 m/s'),
      await part('seed', 3, 3, 'seed=other'),
      await part('of', 3, 4),
    ];
    expect((await refused([a, study]))[0]).toBe(`${study}: is of another run than ${a}: the study was another`);
    expect((await refused([a, seed, of])).map((line) => line.slice(0, 60).split(':')[0])).toEqual([seed, of]);
    expect((await refused([a, b, of]))[0]).toBe(`${of}: is of another run than ${a}: of 4 parts, not 3`);
    // Its last section and its end torn off.
    const torn = join(root, 'torn');
    cpSync(b, torn, { recursive: true });
    writeFileSync(join(torn, JOURNAL), readFileSync(join(torn, JOURNAL)).subarray(0, -100));
    expect(await refused([a, torn])).toEqual([
      `${torn}: part 2/3 is not finished, or damaged; go on with it: the same command with --resume`,
    ]);
    expect(await refused([root, join(root, 'nowhere')])).toEqual([
      `${root}: is no part of a run: it has no ${JOURNAL}; expected what --part left`,
      `${join(root, 'nowhere')}: does not exist; expected the folder of a part`,
    ]);
    expect(readdirSync(root)).not.toContain('never');
  });

  test('of another build of the program are refused', async () => {
    const other = await part('build', 1, 1);
    const path = join(other, JOURNAL);
    const old = JournalFile.open(path, 'r');
    const asked = JSON.parse(old?.asked ?? '') as Record<string, unknown>;
    old?.close();
    const forged = join(root, 'forged');
    cpSync(other, forged, { recursive: true });
    rmSync(join(forged, JOURNAL));
    const file = JournalFile.create(join(forged, JOURNAL), JSON.stringify({ ...asked, kernel: 'another' }));
    file.seal();
    file.close();
    await expect(joinParts([forged], { out: join(root, 'never') })).rejects.toThrow('was flown by another build of it');
  });

  test('cannot stop by what all of them find', async () => {
    const study = await demoWith('flights=40');
    const options = { out: join(root, 'none'), part: { number: 1, parts: 2 } };
    const why = 'which goes by what the flights of all parts find, and a part sees only its own';
    const plan = 'alight check STUDY says how many flights tell the odds how closely: give that number as --flights';
    const alone = 'fly it on one machine; --resume goes on with it after a stop';
    await expect(flyStudy(study, { ...options, halfWidth: 0.01 })).rejects.toThrow(`--part: not with --half-width, ${why}; ${plan}`);
    await expect(compareRules(study, { ...options, untilResolved: true })).rejects.toThrow(`--until-resolved, ${why}; ${plan}`);
    await expect(climb(study, { ...options, wish: 0.8 })).rejects.toThrow(`--toward, ${why}; ${alone}`);
    await expect(tuneControl(study, options)).rejects.toThrow(`--control, ${why}; ${alone}`);
    await expect(rankSobol(study, { ...options, untilSeparated: true })).rejects.toThrow(
      `--until-separated, ${why}; give the whole --size`,
    );
  });
});
