/** The journal: rows come back bit for bit, whatever it was cut off in; what is torn or altered does not count. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.ts';
import type { KeptUnits } from '../../src/fleet/journal.ts';
import type { Work } from '../../src/fleet/work.ts';
import { JournalFile } from '../../src/results/journal.ts';
import { LABEL_BYTES, type Label, readLabel, writeLabel } from '../../src/results/sections.ts';
import { scratch } from './setUp.ts';

const root = scratch();
let made = 0;
const fresh = (): string => join(root, `${made++}.journal`);

const workOf = (variation: object, study: object = { title: 'A' }): Work => {
  return { name: 'a', kind: 'flights', study, variation, rowLength: 3, lostRow: () => undefined };
};

/** Rows that differ by unit, with what doubles can hold. */
function unitsOf(first: number, count: number): KeptUnits {
  const rowsOf = Float64Array.from({ length: count }, (_, i) => 1 + ((first + i) % 2));
  const rows = rowsOf.reduce((sum, n) => sum + n, 0);
  const odd = [Number.NaN, -0, Number.MAX_VALUE, 5e-324, 1 / 3];
  const columns = Float64Array.from({ length: 3 * rows }, (_, i) => odd[(first + i) % 5] as number);
  return { count, rowsOf, columns, lost: first % 3 === 0 ? [{ flight: first, reason: 'it hung — twice' }] : [] };
}

/** As `find` gives it, NaNs and zeros told apart. */
const bits = (units: KeptUnits | null): unknown =>
  units && { ...units, rowsOf: Buffer.from(units.rowsOf.slice().buffer), columns: Buffer.from(units.columns.slice().buffer) };

const reopened = (path: string): JournalFile => {
  const journal = JournalFile.open(path, 'r+');
  if (journal === null) throw new Error('cut off before its first section');
  return journal;
};

/** Where the section of what was asked ends in {@link filled}. */
const ASKED_END = 8 + LABEL_BYTES + '{"command":"fly"}'.length;

/** Three chunks of one work, one of another. */
function filled(path: string): void {
  const journal = JournalFile.create(path, '{"command":"fly"}');
  for (const [first, count] of [
    [1, 4],
    [5, 4],
    [9, 2],
  ] as const)
    journal.keep(workOf({ rule: 'a' }), first, unitsOf(first, count));
  journal.keep(workOf({ rule: 'b' }), 1, unitsOf(1, 3));
  journal.close();
}

test('gives back what was kept, by the work’s content and its first unit', () => {
  const path = fresh();
  filled(path);
  const journal = reopened(path);
  expect([journal.asked, journal.sealed, journal.units]).toEqual(['{"command":"fly"}', false, 13]);
  expect(bits(journal.find(workOf({ rule: 'a' }), 5, 4))).toEqual(bits(unitsOf(5, 4)));
  expect(bits(journal.find(workOf({ rule: 'b' }), 1, 100))).toEqual(bits(unitsOf(1, 3)));
  expect(journal.find(workOf({ rule: 'a' }), 6, 4)).toBeNull();
  expect(journal.find(workOf({ rule: 'c' }), 1, 4)).toBeNull();
  expect(journal.find(workOf({ rule: 'a' }, { title: 'B' }), 1, 4)).toBeNull();
  // More than is asked for would run across a look.
  expect(journal.find(workOf({ rule: 'a' }), 5, 3)).toBeNull();
  journal.close();
});

test('cut off anywhere, with anything behind, it holds the chunks before, and takes more', () => {
  const path = fresh();
  filled(path);
  const whole = readFileSync(path);
  fc.assert(
    fc.property(fc.integer({ min: 200, max: whole.byteLength }), fc.uint8Array({ maxLength: 40 }), (length, behind) => {
      const cut = fresh();
      writeFileSync(cut, Buffer.concat([whole.subarray(0, length), behind]));
      const journal = reopened(cut);
      const before = journal.units;
      expect([0, 4, 8, 10, 13]).toContain(before);
      if (length === whole.byteLength) expect(before).toBe(13);
      if (before >= 4) expect(bits(journal.find(workOf({ rule: 'a' }), 1, 4))).toEqual(bits(unitsOf(1, 4)));
      journal.keep(workOf({ rule: 'd' }), 7, unitsOf(7, 2));
      journal.seal();
      journal.close();
      const again = reopened(cut);
      expect([again.units, again.sealed]).toEqual([before + 2, true]);
      expect(bits(again.find(workOf({ rule: 'd' }), 7, 2))).toEqual(bits(unitsOf(7, 2)));
      again.close();
    }),
    { numRuns: 60 },
  );
});

test('an altered byte ends what counts: nothing altered is ever given back', () => {
  const path = fresh();
  filled(path);
  const whole = readFileSync(path);
  fc.assert(
    fc.property(fc.integer({ min: 8, max: whole.byteLength - 1 }), fc.integer({ min: 1, max: 255 }), (place, flip) => {
      const altered = Buffer.from(whole);
      altered[place] = (altered[place] as number) ^ flip;
      const other = fresh();
      writeFileSync(other, altered);
      if (place < ASKED_END) {
        expect(() => JournalFile.open(other, 'r')).toThrow('damaged where it says what was asked');
        return;
      }
      const journal = reopened(other);
      expect(journal.units).toBeLessThan(13);
      for (const [first, count] of [
        [1, 4],
        [5, 4],
        [9, 2],
      ] as const) {
        const found = journal.find(workOf({ rule: 'a' }), first, count);
        if (found !== null) expect(bits(found)).toEqual(bits(unitsOf(first, count)));
      }
      journal.close();
    }),
    { numRuns: 60 },
  );
});

test('a section whose checksum is right and whose numbers are not is as if it were not there', () => {
  const path = fresh();
  filled(path);
  const whole = readFileSync(path);
  const label = readLabel(whole.subarray(ASKED_END)) as Label;
  // First unit, units, numbers and bytes of words, then rows of each unit: what is said there is what is to be found there.
  const odd = fc.constantFrom(-1, 0.5, 3, 1e6, 2 ** 53, 1e308, Number.NaN, Number.POSITIVE_INFINITY);
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 5 }), odd, fc.nat({ max: label.length - 1 }), (field, number, cut) => {
      const forged = Buffer.from(whole);
      const section = forged.subarray(ASKED_END + LABEL_BYTES, ASKED_END + LABEL_BYTES + label.length);
      // The section altered, or cut short with a label that says so.
      const length = cut % 2 === 0 ? label.length : cut;
      if (length === label.length) section.writeDoubleLE(number, 32 + 8 * field);
      writeLabel(forged.subarray(ASKED_END, ASKED_END + LABEL_BYTES), { ...label, length, sum: crc32(section.subarray(0, length)) });
      const other = fresh();
      writeFileSync(other, forged);
      const journal = reopened(other);
      expect(journal.find(workOf({ rule: 'a' }), 1, 4)).toBeNull();
      if (length === label.length) expect(bits(journal.find(workOf({ rule: 'a' }), 5, 4))).toEqual(bits(unitsOf(5, 4)));
      journal.close();
    }),
    { numRuns: 60 },
  );
});

test('what a failing power left of one just begun, its length without a byte, is none yet', () => {
  const path = fresh();
  writeFileSync(path, Buffer.alloc(60));
  expect(JournalFile.open(path, 'r')).toBeNull();
});

test('what is no journal is refused; one that was stopped before it said anything is none yet', () => {
  const path = fresh();
  writeFileSync(path, 'my diary');
  expect(() => JournalFile.open(path, 'r')).toThrow(new UserError(`${path}: is no journal of alight`));
  writeFileSync(path, 'alig');
  expect(JournalFile.open(path, 'r')).toBeNull();
  expect(() => JournalFile.create(path, '{}')).toThrow('something of that name is already there');
});
