/** Recordings as instruments write them: separators, units, decimal marks, and what is wrong with a file. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { readColumnMap, type WantedColumn } from '../../src/recordings/columnMap.ts';
import { numbersOf, parseRecording, type Recording, readRecording } from '../../src/recordings/recording.ts';

const WANTED: readonly WantedColumn[] = [
  { name: 'time', unit: 's', titles: ['t'] },
  { name: 'thrust', unit: 'N', titles: ['force', 'load'], blank: false },
  { name: 'command', unit: '', titles: [], optional: true, blank: true },
  { name: 'phase', unit: '', titles: [], optional: true, words: true },
];

const read = (text: string, columns?: string): Recording =>
  parseRecording(text, 'log.csv', WANTED, columns === undefined ? null : readColumnMap(columns, WANTED));

const columns = (recording: Recording): readonly (readonly number[])[] => ['time', 'thrust'].map((name) => [...numbersOf(recording, name)]);

const problems = (text: string, map?: string): readonly string[] => {
  try {
    read(text, map);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
};

const EXPECTED = [
  [0, 0.001, 0.002],
  [0, 1.5, -2.25],
];

describe('whatever the separators and the decimal mark', () => {
  it.each([
    ['commas', 't [s],load [N]\n0,0\n0.001,1.5\n0.002,-2.25\n'],
    ['semicolons and decimal commas', 't [s];load [N]\n0;0\n0,001;1,5\n0,002;-2,25\n'],
    ['tabs', 't [s]\tload [N]\n0\t0\n0.001\t1.5\n0.002\t-2.25\n'],
    ['blanks', 't[s]  load[N]\n  0  0\n0.001   1.5\n0.002\t-2.25'],
    [
      'a byte order mark, carriage returns, comments and blank lines',
      '\uFEFF# a bench\r\n\r\nt [s], load [N]\r\n0, 0\r\n% pause\r\n0.001, 1.5\r\n0.002, -2.25\r\n',
    ],
    ['carriage returns alone', 't [s],load [N]\r0,0\r0.001,1.5\r0.002,-2.25\r'],
    ['quotes', '"t [s]","load [N]"\n"0","0"\n"0.001","1.5"\n"0.002","-2.25"\n'],
    ['a separator at the end', 't [s],load [N],\n0,0,\n0.001,1.5,\n0.002,-2.25,\n'],
    ['exponents', 't [s],load [N]\n0e0,0\n1e-3,1.5E0\n2.0e-03,-0.225e+1\n'],
    ['other columns', 'n,t [s],note,load [N]\n1,0,"a, b",0\n2,0.001,,1.5\n3,0.002,x,-2.25\n'],
  ])('%s', (_, text) => {
    expect(columns(read(text))).toEqual(EXPECTED);
  });

  it.each([
    ['in brackets', 't (ms),load (kN)\n1000,0.002\n', undefined],
    ['after a slash', 't/ms,load/kN\n1000,0.002\n', undefined],
    ['after an underscore', 't_ms,load_kN\n1000,0.002\n', undefined],
    ['in a line below', 't,load\nms,kN\n1000,0.002\n', undefined],
    ['in a line below, in brackets', 't,load\n[ms],[kN]\n1000,0.002\n', undefined],
    ['in the map', 't,load\n1000,0.002\n', 'time=t [ms], thrust=load [kN]'],
    ['in the map, against the head', 't [s],load [N]\n1000,0.002\n', 'time=t [ms], thrust=load [kN]'],
    ['in the map, by place and without a head', '1000,0.002\n', 'time=#1 [ms], thrust=#2 [kN]'],
    ['of a count, the other way round', 't [ms],adc\n1000,-8\n', 'thrust=-adc [0.25 N]'],
  ])('units %s', (_, text, map) => {
    expect(columns(read(text, map))).toEqual([[1], [2]]);
  });

  it('titles are known in capitals too, and by the whole title', () => {
    expect(columns(read('Time [s],FORCE [N]\n1,2\n'))).toEqual([[1], [2]]);
    expect(columns(read('T [s],load [N],load [gf]\n1,2,3\n', 'thrust=load [N]'))).toEqual([[1], [2]]);
  });

  it('degrees of temperature have a zero of their own', () => {
    const wanted: readonly WantedColumn[] = [{ name: 'temperature', unit: 'K', titles: [] }];
    expect([...numbersOf(parseRecording('temperature [degC]\n15\n', 'a', wanted, null), 'temperature')][0]).toBeCloseTo(288.15, 9);
  });

  it('any double written out comes back to the last bit', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, min: -1e12, max: 1e12 }), fc.boolean(), (x, comma) => {
        const cell = comma ? String(x).replace('.', ',') : String(x);
        expect(numbersOf(read(`t [s];load [N]\n1;${cell}\n`), 'thrust')[0]).toBe(x === 0 ? Number(cell.replace(',', '.')) : x);
      }),
    );
  });

  it('plain decimals too, which go the fast way', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 0, max: 20 }), (n, places) => {
        const cell = (n / 10 ** places).toFixed(places);
        expect(numbersOf(read(`t [s],load [N]\n1,${cell}\n`), 'thrust')[0]).toBe(Number(cell));
      }),
    );
  });
});

describe('what is not there', () => {
  it('an optional column is absent, or read when the head has it', () => {
    expect(read('t [s],load [N]\n1,2\n').numbers.has('command')).toBe(false);
    expect([...numbersOf(read('t [s],load [N],command\n1,2,0\n2,3,1\n'), 'command')]).toEqual([0, 1]);
  });

  it('cells that may be blank are NaN', () => {
    expect([...numbersOf(read('t [s],load [N],command\n1,2,\n2,3,nan\n3,4,1\n'), 'command')]).toEqual([Number.NaN, Number.NaN, 1]);
  });

  it('words are kept as they are', () => {
    expect(read('t [s],load [N],phase\n1,2,coast\n2,3,"burn, landing"\n').words.get('phase')).toEqual(['coast', 'burn, landing']);
  });

  it('a last row that was cut off is passed over and said', () => {
    const recording = read('t [s],load [N]\n1,2\n2,3\n3');
    expect(columns(recording)).toEqual([
      [1, 2],
      [2, 3],
    ]);
    expect(recording.warnings).toEqual(['log.csv:4: the last row is cut off and was passed over.']);
  });

  it('lines are counted with comments and blank ones', () => {
    expect([...read('# x\n\nt [s],load [N]\n1,2\n# y\n2,3\n').lines]).toEqual([4, 6]);
  });
});

describe('one clear line each, with line and column', () => {
  it.each([
    ['', undefined, 'log.csv:1:1: read an empty file; expected a head line that names the columns and rows below it. Record again.'],
    [
      '# nothing\n\n',
      undefined,
      'log.csv:1:1: read an empty file; expected a head line that names the columns and rows below it. Record again.',
    ],
    ['t [s],load [N]\n', undefined, 'log.csv:1:1: read no row below the head; expected numbers. Record again, or name another file.'],
    [
      't [s],load [N]\n1,2\n2,x7\n3,4\n',
      undefined,
      'log.csv:3:3: read "x7"; expected a number for thrust. Mend the cell, or leave the row out.',
    ],
    [
      't [s],load [N]\n1,2\n 2 ,\n3,4\n',
      undefined,
      'log.csv:3:5: read ""; expected a number for thrust. Mend the cell, or leave the row out.',
    ],
    ['t [s],load [N]\n1,2\n2\n3,4\n', undefined, 'log.csv:3:1: read 1 values; expected 2, one for each column. Mend the row.'],
    [
      't [s],load [N]\n1,2\n2,3,5\n3,4\n',
      undefined,
      'log.csv:3:1: read 3 values; expected 2, one for each column. Mend the row. If commas are decimal marks too, save it with semicolons between the columns.',
    ],
    [
      't [s];load [N]\n1;2.5\n2;3,5\n',
      undefined,
      'log.csv:3:3: read "3,5" after numbers with a decimal point; expected one decimal mark throughout. Save the file anew.',
    ],
    [
      't,load [N]\n1,2\n',
      undefined,
      'log.csv:1:1: read the column "t" without a unit; expected a time in s or a unit like it. Write it in the head, t [s], or give it: --columns "time=t [s]".',
    ],
    [
      't [s],load [kg]\n1,2\n',
      undefined,
      'log.csv:1:7: read the unit "kg" for thrust (that is a mass); expected a force in N or a unit like it. Give the unit that the numbers are in.',
    ],
    [
      't [s],lod [N]\n1,2\n',
      'thrust=load',
      'log.csv:1:1: read the columns t [s], lod [N]; expected "load" for thrust. Name one that is there.',
    ],
    [
      't [s],x [N]\n1,2\n',
      undefined,
      'log.csv:1:1: read the columns t [s], x [N]; expected one for thrust. Name it in the head, or say which it is: --columns "thrust=TITLE [UNIT]".',
    ],
    [
      't [s],load [N],force [N]\n1,2,3\n',
      undefined,
      'log.csv:1:16: read "load [N]" and "force [N]", both of which may be thrust; expected one. Say which: --columns "thrust=#2 [N]".',
    ],
    [
      't [s],load [N]\n1,2\n',
      'thrust=t [N]',
      'log.csv:1:1: read the column "t [s]" for time and for thrust; expected a column for each. Name another in --columns.',
    ],
    [
      't [s],load [N]\n1,2\n2,1e300\n3,1e400\n4,4\n',
      undefined,
      'log.csv:3:3: read "1e300"; expected a number for thrust of a size that can be. Check its power of ten.',
      'log.csv:4:3: read "1e400"; expected a number for thrust of a size that can be. Check its power of ten.',
    ],
    ['t [s],load [N]\n1,2\n', 'thrust=#3 [N]', 'log.csv:1:1: read 2 columns; expected at least 3, for thrust is #3. Name another.'],
  ])('%j %s', (text, map, ...lines) => {
    expect(problems(text, map)).toEqual(lines);
  });

  it('numbers in place of a head: one line for each column', () => {
    expect(problems('1,2\n3,4\n')).toEqual([
      'log.csv:1:1: read numbers; expected a head line that names the columns. Add one, or say their places: --columns "time=#1 [s]".',
      'log.csv:1:1: read numbers; expected a head line that names the columns. Add one, or say their places: --columns "thrust=#1 [N]".',
    ]);
  });

  it('of many bad cells the first twenty, and how many more', () => {
    const found = problems(`t [s],load [N]\n${'1,x\n'.repeat(100)}`);
    expect(found).toHaveLength(21);
    expect(found[20]).toBe('log.csv: read 80 more rows or cells that do not fit; mend these first.');
  });

  it('a file that is not there', async () => {
    await expect(readRecording('/nowhere/log.csv', WANTED, null)).rejects.toThrow(
      '/nowhere/log.csv: no such file; expected a text file. Check the name.',
    );
  });
});
