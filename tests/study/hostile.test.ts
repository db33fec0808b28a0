/**
 * Studies that are broken in many places at once, absurd, or made to do harm: few clear lines, soon, and nothing
 * outside the study touched.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { printable } from '../../src/printable.ts';
import { folderOf, plainText, problemsOf, read } from './plainStudy.ts';

describe('one mistake is one line', () => {
  it('a brace that is missing far up does not make every line after it a mistake', async () => {
    const text = plainText({ 5: '  airframe: mass: 930 g, station: 560 mm, inertiaAxial: 0.0017, inertiaTransverse: 0.043 }' });
    const problems = await problemsOf(text);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatch(/^lander\.yaml:5:\d+ not sound YAML/);
  });

  it('keys that stand there twice are each named, for nothing is misread by them', async () => {
    const problems = await problemsOf(`${plainText()}title: Again\nseed: 3\n`);
    expect(problems.map((line) => line.split(' ')[0])).toEqual(['lander.yaml:42:1', 'lander.yaml:43:1']);
  });

  it('a text that begins with an asterisk is told from aliases without end', async () => {
    expect(await problemsOf(plainText({ 1: 'title: *best' }))).toEqual([
      'lander.yaml:1:8 read *best, an alias of a value that is marked &best nowhere before; if it is a text, put it in quotes.',
    ]);
    expect(await problemsOf(plainText(), ['title=*x*'])).toEqual([
      '--set title=*x*: read *x*, an alias of a value that is marked &x* nowhere before; if it is a text, put it in quotes.',
    ]);
    expect((await read(plainText({ 1: 'title: &a "*best"', 2: 'seed: *a' }))).study.seed).toBe('*best');
  });
});

describe('many mistakes are counted, not listed', () => {
  const keys = (what: string, indent: string): string => Array.from({ length: 20_000 }, (_, i) => `${indent}${what}${i}: 1`).join('\n');

  it.each([
    [
      'unknown keys',
      plainText({ 1: `title: Plain\n${keys('wrongly', '')}` }),
      'the study: read 19980 more unknown keys; mend these first.',
    ],
    [
      'unknown inputs',
      plainText({ 36: `inputs:\n${keys('wind.spee', '  ')}` }),
      'inputs: read 19980 more unknown inputs; mend these first.',
    ],
  ])('%s', async (_, text, rest) => {
    const problems = await problemsOf(text);
    expect(problems).toHaveLength(21);
    expect(problems.filter((line) => line.endsWith(rest))).toHaveLength(1);
  });

  it('cells of a table that are no numbers', async () => {
    const csv = `time_s,thrust_N\n${Array.from({ length: 500 }, (_, i) => `${i},x`).join('\n')}\n`;
    const problems = await problemsOf(plainText({ 19: '  curve: c.csv' }), [], folderOf({ 'c.csv': csv }));
    expect(problems).toHaveLength(21);
    expect(problems[20]).toBe('c.csv: read 480 more rows or cells that do not fit; mend these first.');
  });

  it('points of a curve, a hundred of them shown', async () => {
    const points = Array.from({ length: 3000 }, (_, i) => `[${i / 10000}, -1]`).join(', ');
    const problems = await problemsOf(plainText({ 19: `  curve: [${points}]` }));
    expect(problems).toHaveLength(101);
    expect(problems[100]).toBe('lander.yaml: and 2900 more; mend these first');
  });

  it('a unit of any length is no unit, and not printed whole', async () => {
    const [line] = await problemsOf(plainText({ 2: 'seed: 1', 27: `rail: { length: 1 ${'m*'.repeat(100_000)}m }` }));
    expect(line.length).toBeLessThan(400);
    expect(line).toContain('is no known unit');
  });
});

describe('reserved names', () => {
  it('a rule of such a name is not dropped in silence', async () => {
    expect(
      await problemsOf(plainText({ 34: '  low: { kind: fixedHeight, height: 7 m }\n  __proto__: { kind: fixedHeight, height: 1 m }' })),
    ).toEqual(['lander.yaml:35:3 read __proto__ as a name; expected another: that one is reserved. Rename it.']);
  });

  it.each([
    'rules.__proto__.kind=fixedHeight',
    '__proto__.kind=x',
    'inputs.__proto__={uniform: 1}',
    'rules={__proto__: {kind: x}}',
    'inputs.constructor.kind=x',
    'rules.toString.kind=x',
  ])('nothing is written where all objects inherit from: --set %s', async (setting) => {
    await problemsOf(plainText(), [setting]);
    expect(Object.getOwnPropertyNames(Object.prototype).filter((key) => key === 'kind' || key === 'uniform')).toEqual([]);
    expect(Object.hasOwn(Object, 'kind') || Object.hasOwn(Object.prototype.toString, 'kind')).toBe(false);
  });
});

describe('what a terminal would obey', () => {
  it('is refused in the title, and printed as its code', async () => {
    const [line] = await problemsOf(plainText({ 1: 'title: "A\\e[2J\\u009bB\\nC"' }));
    expect(line).toMatch(/^lander\.yaml:1:8 title: read .*; expected a line of text/);
    expect(printable(line)).toBe(line);
  });

  it('is printed as its code wherever it stands', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom('\\e', '\\a', '\\u009b', '\\u202e', '\\n', '\\r'),
        fc.constantFrom(2, 27, 33),
        async (code, line) => {
          const edits: Record<number, string> = {
            2: `seed: 1\n"x${code}y": 1`,
            27: `rail: { length: "1 m${code}" , "${code}": 2 }`,
            33: `rules:\n  "a${code}b": { kind: x }`,
          };
          for (const problem of await problemsOf(plainText({ [line]: edits[line] }))) expect(printable(problem)).toBe(problem);
        },
      ),
    );
  });

  it('a block of text as title loses its last line break and no more', async () => {
    expect((await read(plainText({ 1: 'title: |\n  Plain' }))).study.title).toBe('Plain');
  });
});

describe('numbers that no vehicle has', () => {
  it.each([
    ['a thrust beyond any', { 19: '  curve: [[0, 0], [0.1, 1e300], [1, 0]]' }, /thrust 1e\+300 N; expected at most 100000 N/],
    ['a burn of a year', { 19: '  curve: [[0, 0], [0.1, 1], [3e7, 0]]' }, /time 30000000 s; expected at most 1000 s/],
    [
      'a smallest step beyond the range',
      { 30: '  accelerometer: { noise: 0.0015, range: 157, lsb: 200 }' },
      /lsb: read 200; expected at most the sensor’s range, 157/,
    ],
    ['a smallest step of 1e308', { 30: '  accelerometer: { noise: 0.0015, range: 157, lsb: 1e308 }' }, /lsb: read 1e\+308; .*power of ten/],
    ['a length that is hardly one', { 27: 'rail: { length: 5e-324 }' }, /rail\.length: read 5e-324; .*power of ten/],
    [
      'weights that add up to nothing finite',
      { 37: '  wind.speed: { discrete: { values: [1, 2], weights: [1e308, 1e308] } }' },
      /weights\.0: read 1e\+308; .*power of ten/,
    ],
    [
      'a bell of which nothing is left',
      { 37: '  wind.speed: { truncatedNormal: { mean: 1, sd: 1e300, low: 0, high: 2 } }' },
      /sd: read 1e\+300; .*power of ten/,
    ],
    [
      'a bell wider than a million times its ends',
      { 37: '  wind.speed: { truncatedNormal: { mean: 1, sd: 1e7, low: 0, high: 2 } }' },
      /sd: read 10000000, more than a million times/,
    ],
    [
      'more rules than can be told apart',
      { 34: Array.from({ length: 128 }, (_, i) => `  r${i}: { kind: fixedHeight, height: 7 m }`).join('\n') },
      /rules: read 128 rules; expected at most 127/,
    ],
  ])('%s', async (_, edit, words) => {
    expect((await problemsOf(plainText(edit as Record<number, string>))).join('\n')).toMatch(words);
  });

  it('a moment of inertia in the wrong unit is asked about', async () => {
    const { warnings } = await read(
      plainText({ 5: '  airframe: { mass: 930 g, station: 560 mm, inertiaAxial: 0.0017e-3, inertiaTransverse: 0.043e-3 }' }),
    );
    expect(warnings).toEqual([
      'lander.yaml:5:59 vehicle.airframe.inertiaAxial: it is 0.0000017 kg m^2; a plain cylinder of this mass and size has 0.00102719 kg m^2. Is it in another unit, such as g*m^2? Weigh and swing it, or check the unit.',
      'lander.yaml:5:89 vehicle.airframe.inertiaTransverse: it is 0.000043 kg m^2; a plain cylinder of this mass and size has 0.057319 kg m^2. Is it in another unit, such as g*m^2? Weigh and swing it, or check the unit.',
    ]);
  });

  it('a curve of any number of points is no matter', async () => {
    const points = Array.from({ length: 150_000 }, (_, i) => `${i * 1e-5},${i === 0 || i === 149_999 ? 0 : 60}`).join('\n');
    const folder = folderOf({ 'c.csv': `time_s,thrust_N\n${points}\n` });
    expect((await read(plainText({ 19: '  curve: c.csv' }), [], folder)).study.ascent.curve.time).toHaveLength(150_000);
  });
});
