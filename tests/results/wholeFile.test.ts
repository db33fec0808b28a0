import { lstatSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { PAGE_MARK } from '../../src/results/mark.ts';
import { checkPlaces, writeWhole } from '../../src/results/wholeFile.ts';
import { scratch } from './setUp.ts';

const root = scratch();
const at = (name: string): string => join(root, name);
const page = (name: string) => ({ path: at(name), kind: 'page' as const });

/** The lines with which places are refused. */
function problems(...args: Parameters<typeof checkPlaces>): readonly string[] {
  try {
    checkPlaces(...args);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
}

describe('places are checked before anything is written', () => {
  writeFileSync(at('foreign.html'), '<!doctype html>mine');
  writeFileSync(at('ours.html'), `<!doctype html>${PAGE_MARK}`);
  mkdirSync(at('folder.html'));
  symlinkSync(at('ours.html'), at('link.html'));

  test('each that cannot be written gets its line', () => {
    const places = ['ours.html', 'folder.html', 'absent/x.html', 'new.html', 'ours.html/x.html'].map(page);
    expect(problems(places, false)).toEqual([
      `${at('ours.html')}: exists already; choose another name, or --force to replace it`,
      `${at('folder.html')}: is a folder; choose another name`,
      `${at('absent/x.html')}: cannot write: it does not exist`,
      `${at('ours.html/x.html')}: cannot write: a part of that path is a file, not a folder`,
    ]);
  });

  test('--force replaces ordinary files of ours, and no others', () => {
    expect(problems([page('ours.html')], true)).toEqual([]);
    expect(problems(['foreign.html', 'link.html'].map(page).concat({ path: '/dev/null', kind: 'page' }), true)).toEqual([
      `${at('foreign.html')}: was not written by alight, and --force replaces only what was; choose another name, or remove it yourself`,
      `${at('link.html')}: is a link; only an ordinary file may be replaced, choose another name`,
      '/dev/null: is no ordinary file; choose another name',
    ]);
  });

  test('one name for two files is refused', () => {
    expect(problems([page('new.html'), page('new.html')], true)).toEqual([
      `${at('new.html')}: is named twice; give each file a name of its own`,
    ]);
  });
});

describe('writing', () => {
  test('follows no link that lies in wait under a temporary name', () => {
    writeFileSync(at('victim'), 'mine');
    symlinkSync(at('victim'), at('out.html.part'));
    writeWhole(at('out.html'), 'text');
    expect(readFileSync(at('victim'), 'utf8')).toBe('mine');
    expect(readFileSync(at('out.html'), 'utf8')).toBe('text');
    expect(lstatSync(at('out.html')).isFile()).toBe(true);
  });

  test.each(['folder', 'link'])('refuses where a %s stands, and leaves nothing behind', (what) => {
    const path = at(`taken-${what}`);
    if (what === 'folder') mkdirSync(path);
    else symlinkSync(at('victim'), path);
    expect(() => writeWhole(path, 'text')).toThrow(new UserError(`${path}: cannot write: it is no ordinary file; choose another name`));
    expect(readdirSync(root).filter((name) => name.startsWith(`.taken-${what}`))).toEqual([]);
  });
});
