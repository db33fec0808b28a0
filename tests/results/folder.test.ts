import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { fileFault } from '../../src/results/fileFault.ts';
import { ResultsFolder } from '../../src/results/folder.ts';
import { writeWhole } from '../../src/results/wholeFile.ts';
import { scratch } from './setUp.ts';

const root = scratch();

test('makes the folder and writes files whole into it', () => {
  const folder = ResultsFolder.prepare(join(root, 'new'), false);
  folder.writeJson('summary.json', { flown: 0 });
  folder.write('study.yaml', 'title: A\n');
  expect(readFileSync(join(root, 'new', 'summary.json'), 'utf8')).toBe('{\n  "flown": 0\n}\n');
  expect(readdirSync(join(root, 'new')).sort()).toEqual(['study.yaml', 'summary.json']);
});

test('takes an existing folder without results, whatever else is in it', () => {
  const path = join(root, 'notes');
  mkdirSync(path);
  writeFileSync(join(path, 'notes.txt'), 'mine');
  ResultsFolder.prepare(path, false).removeStale();
  expect(readdirSync(path)).toEqual(['notes.txt']);
});

test('refuses a folder with results, naming them, unless forced; then older files stay until replaced', () => {
  const path = join(root, 'old');
  mkdirSync(path);
  for (const name of ['flights.arrow', 'report.html', 'mine.txt']) writeFileSync(join(path, name), 'old');
  expect(() => ResultsFolder.prepare(path, false)).toThrow(
    new UserError(`${path}: holds results already (flights.arrow, report.html); choose another folder, or --force to replace them`),
  );
  const folder = ResultsFolder.prepare(path, true);
  expect(readFileSync(join(path, 'flights.arrow'), 'utf8')).toBe('old');
  writeFileSync(folder.place('flights.arrow'), 'new');
  folder.removeStale();
  expect(readdirSync(path).sort()).toEqual(['flights.arrow', 'mine.txt']);
  expect(readFileSync(join(path, 'flights.arrow'), 'utf8')).toBe('new');
});

test('removes what an interrupted write left, and nothing else', () => {
  const path = join(root, 'leftover');
  mkdirSync(path);
  for (const name of ['flights.arrow.part', 'mine.part']) writeFileSync(join(path, name), 'half');
  ResultsFolder.prepare(path, false);
  expect(readdirSync(path)).toEqual(['mine.part']);
});

test.each([
  ['file', 'is a file; expected a folder for the results'],
  ['file/below', 'cannot hold results: a part of that path is a file, not a folder'],
  ['absent/below', 'the folder it should be made in does not exist; make that first'],
])('refuses %s', (name, words) => {
  writeFileSync(join(root, 'file'), 'x');
  const path = join(root, name);
  expect(() => ResultsFolder.prepare(path, true)).toThrow(new UserError(`${path}: ${words}`));
  expect(existsSync(join(root, 'absent'))).toBe(false);
});

test('a file that cannot be written leaves no part behind', () => {
  const path = join(root, 'taken');
  mkdirSync(join(path, 'inside'), { recursive: true });
  // A folder stands where the file should go: the part is written, its renaming fails.
  expect(() => writeWhole(path, 'text')).toThrow(UserError);
  expect(existsSync(`${path}.part`)).toBe(false);
});

test.each([
  ['EROFS', 'x: cannot write: that place is read-only; choose another'],
  ['EACCES', 'x: cannot write: no permission there; choose another place or change its permissions'],
])('%s becomes a line for the user', (code, line) => {
  expect(fileFault(Object.assign(new Error('raw'), { code }), 'cannot write', 'x')).toEqual(new UserError(line));
});

test('a fault without a code, or with one nobody can mend, is handed on as it is', () => {
  const ours = new TypeError('ours');
  const odd = Object.assign(new Error('bad descriptor'), { code: 'EBADF' });
  expect(fileFault(ours, 'cannot write', 'x')).toBe(ours);
  expect(fileFault(odd, 'cannot write', 'x')).toBe(odd);
});
