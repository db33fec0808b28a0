/** Opening study files from disk: what is there, and what a study may name. */
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { openStudy } from '../../src/study/load.ts';
import { plainText } from './plainStudy.ts';

const CURVE = 'time_s,thrust_N\n0,0\n0.1,60\n1,0\n';
let root = '';

beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'studies-'));
  mkdirSync(join(root, 'inside'));
  writeFileSync(join(root, 'outside.csv'), CURVE);
  writeFileSync(join(root, 'inside', 'curve.csv'), CURVE);
  writeFileSync(join(root, 'inside', '..curve.csv'), CURVE);
  writeFileSync(join(root, 'inside', 'binary.csv'), 'a\0b');
  writeFileSync(join(root, 'inside', 'latin.csv'), Buffer.from([0x74, 0xe9]));
  writeFileSync(join(root, 'inside', 'huge.csv'), 'x'.repeat(5 * 1024 * 1024 + 1));
  symlinkSync(join(root, 'outside.csv'), join(root, 'inside', 'link.csv'));
  symlinkSync('curve.csv', join(root, 'inside', 'fine.csv'));
});
afterAll(() => rmSync(root, { recursive: true }));

const study = (text: string): string => {
  const path = join(root, 'inside', 'lander.yaml');
  writeFileSync(path, text);
  return path;
};
const withCurve = (name: string) => study(plainText({ 19: `  curve: ${name}` }));
const problems = (path: string, options = {}): Promise<readonly string[]> =>
  openStudy(path, options).then(
    () => [],
    (error: unknown) => {
      if (error instanceof UserError) return error.problems;
      throw error;
    },
  );

describe('a study file', () => {
  it('is read with the curve beside it', async () => {
    expect((await openStudy(withCurve('curve.csv'))).study.ascent.curve.thrust).toEqual([0, 60, 0]);
    expect((await openStudy(withCurve('./curve.csv'))).study.ascent.curve.thrust).toEqual([0, 60, 0]);
    expect((await openStudy(withCurve('fine.csv'))).study.ascent.curve.thrust).toEqual([0, 60, 0]);
    expect((await openStudy(withCurve('..curve.csv'))).study.ascent.curve.thrust).toEqual([0, 60, 0]);
  });

  it('may begin with a byte-order mark', async () => {
    expect((await openStudy(study(`\uFEFF${plainText()}`))).study.title).toBe('Plain');
  });

  it.each([
    ['gone.yaml', 'no such file; expected a text file. Check the name.'],
    ['', 'that is a folder; expected a file. Name a file in it.'],
    ['binary.csv', 'that is a binary file; expected text in UTF-8. Name a text file.'],
    ['latin.csv', 'that file is not UTF-8; expected text in UTF-8. Save it as UTF-8.'],
    ['huge.csv', 'that file has 5242881 bytes; expected at most 5242880. Thin it out or name another.'],
    ['curve.csv/x', 'no such file; expected a text file. Check the name.'],
  ])('%j is none', async (name, problem) => {
    const path = join(root, 'inside', name);
    expect(await problems(path)).toEqual([`${path}: ${problem}`]);
  });
});

describe('a file that a study names', () => {
  it.each(['../outside.csv', 'link.csv', '../inside/../outside.csv'])(
    '%s leaves the study’s folder and is refused unless allowed',
    async (name) => {
      const path = withCurve(name);
      expect(await problems(path)).toEqual([
        `${path}:19:10 ascent.curve: read "${name}": that file is outside the study’s folder. Put a copy beside the study, or allow files outside.`,
      ]);
      expect((await openStudy(path, { allowOutside: true })).study.ascent.curve.thrust).toEqual([0, 60, 0]);
    },
  );

  it('is refused by an absolute path, too', async () => {
    const [line] = await problems(withCurve(join(root, 'outside.csv')));
    expect(line).toContain('that file is outside the study’s folder.');
  });

  it.each(['binary.csv', 'huge.csv', 'gone.csv', '.'])('%s is no curve', async (name) => {
    const path = withCurve(name);
    const [line] = await problems(path);
    expect(line).toMatch(/^.*lander\.yaml:19:10 ascent\.curve: read "[^"]+": (that|no such) /);
  });

  it('may be named by a setting', async () => {
    const { study: changed } = await openStudy(study(plainText()), { set: ['ascent.curve=curve.csv'] });
    expect(changed.ascent.curve.thrust).toEqual([0, 60, 0]);
  });
});
