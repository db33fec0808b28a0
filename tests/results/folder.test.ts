import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { fileFault } from '../../src/results/fileFault.ts';
import { type Company, ResultsFolder, UNFINISHED_FLIGHTS } from '../../src/results/folder.ts';
import { LOCK_FILE } from '../../src/results/lock.ts';
import { PAGE_MARK } from '../../src/results/mark.ts';
import { madeFile, scratch } from './setUp.ts';

const root = scratch();

/** Prepares a folder for as long as `work` takes. */
function within<T>(path: string, company: Company, work: (folder: ResultsFolder) => T): T {
  const folder = ResultsFolder.prepare(path, company);
  try {
    return work(folder);
  } finally {
    folder.close();
  }
}

/** A folder of results as an earlier run left it, page and ranking beside. */
function olderResults(name: string): string {
  const path = join(root, name);
  mkdirSync(path);
  madeFile(join(path, 'flights.arrow'), 3);
  writeFileSync(join(path, 'summary.json'), '{\n  "program": "alight 0.1.0"\n}\n');
  writeFileSync(join(path, 'ranking.json'), '{\n  "program": "alight 0.1.0"\n}\n');
  writeFileSync(join(path, 'report.html'), `<!doctype html>\n${PAGE_MARK}\nold`);
  writeFileSync(join(path, 'mine.txt'), 'mine');
  return path;
}

const answers = { program: 'alight 0.1.0', flown: 0 };

test('makes the folder and writes files whole into it', () => {
  const path = join(root, 'new');
  within(path, 'none', (folder) => {
    folder.writeJson('summary.json', { flown: 0 });
    folder.write('study.yaml', 'title: A\n');
    expect(folder.finish(true)).toBe(path);
  });
  expect(readFileSync(join(path, 'summary.json'), 'utf8')).toBe('{\n  "flown": 0\n}\n');
  expect(readdirSync(path).sort()).toEqual(['study.yaml', 'summary.json']);
});

test('takes an existing folder without results, whatever else is in it', () => {
  const path = join(root, 'notes');
  mkdirSync(path);
  writeFileSync(join(path, 'notes.txt'), 'mine');
  within(path, 'none', (folder) => folder.finish(true));
  expect(readdirSync(path)).toEqual(['notes.txt']);
});

test('refuses a folder with results, naming them', () => {
  const path = olderResults('old');
  expect(() => ResultsFolder.prepare(path, 'none')).toThrow(
    new UserError(
      `${path}: holds results already (flights.arrow, summary.json, ranking.json, report.html); choose another folder, or --force to replace them`,
    ),
  );
  expect(existsSync(join(path, LOCK_FILE))).toBe(false);
});

test('older results stay until newer ones are whole; then those that were not replaced go, and nothing else', () => {
  const path = olderResults('replaced');
  within(path, 'older', (folder) => {
    folder.writeJson('summary.json', answers);
    expect(readFileSync(join(path, 'summary.json'), 'utf8')).not.toContain('flown');
    expect(existsSync(join(path, 'report.html'))).toBe(true);
    expect(folder.finish(true)).toBe(path);
  });
  expect(readdirSync(path).sort()).toEqual(['mine.txt', 'summary.json']);
  expect(readFileSync(join(path, 'summary.json'), 'utf8')).toContain('flown');
});

test('an interrupted run leaves older results as they were, with its own in a folder within', () => {
  const path = olderResults('interrupted');
  const before = readdirSync(path).map((name) => [name, readFileSync(join(path, name), 'latin1')]);
  const interrupted = (): string =>
    within(path, 'older', (folder) => {
      folder.writeJson('summary.json', answers);
      return folder.finish(false);
    });
  expect(interrupted()).toBe(join(path, 'unfinished-1'));
  expect(interrupted()).toBe(join(path, 'unfinished-2'));
  expect(readdirSync(join(path, 'unfinished-1'))).toEqual(['summary.json']);
  expect(before.map(([name]) => [name, readFileSync(join(path, name), 'latin1')])).toEqual(before);
});

test('a run that fails leaves older results, and no folder without anything in it', () => {
  const path = olderResults('failed');
  const before = readdirSync(path);
  within(path, 'older', () => undefined);
  expect(readdirSync(path)).toEqual(before);
});

test('what carries no mark of ours is neither replaced nor removed, such as the commented study flown from here', () => {
  const path = olderResults('foreign');
  writeFileSync(join(path, 'study.yaml'), '# my own study\ntitle: A\n');
  writeFileSync(join(path, 'card.html'), '<!doctype html>my page');
  expect(() => ResultsFolder.prepare(path, 'older')).toThrow(
    new UserError(
      ['study.yaml', 'card.html'].map(
        (name) =>
          `${join(path, name)}: was not written by alight, and --force replaces only what was; choose another folder, or move it away`,
      ),
    ),
  );
  expect(readFileSync(join(path, 'study.yaml'), 'utf8')).toContain('my own study');
});

test('a link by the name of a result is not ours', () => {
  const path = join(root, 'linked');
  mkdirSync(path);
  writeFileSync(join(root, 'elsewhere.json'), '{\n  "program": "alight 0.1.0"\n}\n');
  symlinkSync(join(root, 'elsewhere.json'), join(path, 'summary.json'));
  expect(() => ResultsFolder.prepare(path, 'older')).toThrow('was not written by alight');
});

test('flights of a run that was killed count as results', () => {
  const path = join(root, 'killed');
  mkdirSync(path);
  madeFile(join(path, 'flights.arrow'), 3);
  writeFileSync(join(path, UNFINISHED_FLIGHTS), readFileSync(join(path, 'flights.arrow')).subarray(0, -100));
  expect(() => ResultsFolder.prepare(path, 'none')).toThrow(`holds results already (flights.arrow, ${UNFINISHED_FLIGHTS})`);
  within(path, 'older', (folder) => {
    folder.writeJson('summary.json', answers);
    folder.finish(true);
  });
  expect(readdirSync(path)).toEqual(['summary.json']);
});

test('removes what an interrupted write of a small file left, and nothing else', () => {
  const path = join(root, 'leftover');
  mkdirSync(path);
  const names = ['.summary.json.0123456789ab.part', '.mine.0123456789ab.part', 'mine.part'];
  for (const name of names) writeFileSync(join(path, name), 'half');
  within(path, 'none', () => undefined);
  expect(readdirSync(path).sort()).toEqual(names.slice(1));
});

test('answers that are put beside flights leave all others', () => {
  const path = olderResults('beside');
  within(path, 'others', (folder) => {
    folder.writeJson('ranking.json', answers);
    expect(folder.finish(true)).toBe(path);
  });
  expect(readdirSync(path).sort()).toEqual(['flights.arrow', 'mine.txt', 'ranking.json', 'report.html', 'summary.json']);
  expect(readFileSync(join(path, 'ranking.json'), 'utf8')).toContain('flown');
});

test.each([
  ['file', 'is a file; expected a folder for the results'],
  ['file/below', 'cannot hold results: a part of that path is a file, not a folder'],
  ['absent/below', 'the folder it should be made in does not exist; make that first'],
])('refuses %s', (name, words) => {
  writeFileSync(join(root, 'file'), 'x');
  const path = join(root, name);
  expect(() => ResultsFolder.prepare(path, 'older')).toThrow(new UserError(`${path}: ${words}`));
  expect(existsSync(join(root, 'absent'))).toBe(false);
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
