/** Columns as a person names them on the command line. */
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { readColumnMap, type WantedColumn } from '../../src/recordings/columnMap.ts';

const WANTED: readonly WantedColumn[] = [
  { name: 'time', unit: 's', titles: ['t'] },
  { name: 'thrust', unit: 'N', titles: ['force'] },
  { name: 'phase', unit: '', titles: [], words: true, optional: true },
];

const problems = (text: string): readonly string[] => {
  try {
    readColumnMap(text, WANTED);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
};

describe('a column map', () => {
  it('has titles and units', () => {
    const map = readColumnMap('time=t [ms], thrust=load [gf]', WANTED);
    expect(map.get('time')).toEqual({ title: 't', place: null, unit: 'ms', sign: 1 });
    expect(map.get('thrust')).toEqual({ title: 'load', place: null, unit: 'gf', sign: 1 });
  });

  it('leaves the unit to the head', () => {
    expect(readColumnMap('thrust = load cell ', WANTED).get('thrust')).toEqual({ title: 'load cell', place: null, unit: null, sign: 1 });
  });

  it('turns signs, counts columns, quotes titles, scales counts', () => {
    const map = readColumnMap('time="t, [ms] = x" [ms], thrust=-#3 [0.25 gf]', WANTED);
    expect(map.get('time')).toEqual({ title: 't, [ms] = x', place: null, unit: 'ms', sign: 1 });
    expect(map.get('thrust')).toEqual({ title: null, place: 3, unit: '0.25 gf', sign: -1 });
  });

  it.each([
    ['thrst=load', '--columns: read "thrst"; expected one of time, thrust, phase. Did you mean "thrust"?'],
    ['load', '--columns: read "load"; expected a name, = and a column. Write, for example, "time=t [ms], thrust=load [gf]".'],
    ['time=', '--columns: read "time="; expected a name, = and a column. Write, for example, "time=t [ms], thrust=load [gf]".'],
    ['', '--columns: read nothing; expected columns. Write, for example, "time=t [ms], thrust=load [gf]".'],
    ['time=a, time=b', '--columns: read time twice; expected it once. Remove one.'],
    ['time=#0 [s]', '--columns: read #0 for time; expected columns counted from #1.'],
    [
      'thrust=load [kg]',
      '--columns: read the unit "kg" for thrust (that is a mass); expected a force in N or a unit like it. Give the unit that the numbers are in.',
    ],
    ['phase=p [s]', '--columns: read "phase=p [s]"; expected a column of words, which have neither unit nor sign. Remove them.'],
  ])('%s: %s', (text, problem) => {
    expect(problems(text)).toEqual([problem]);
  });

  it('says everything at once', () => {
    expect(problems('a=b, thrust=load [kg]')).toHaveLength(2);
  });
});
