/** Mistakes in a study file: each the exact line it gives. The lines replaced are those of plainStudy.ts. */
import { describe, expect, it } from 'vitest';
import { ruleKinds } from '../../src/avionics/rules/kinds.ts';
import { folderOf, plainText, problemsOf, read } from './plainStudy.ts';

type Edit = Readonly<Record<number, string>>;
const curveExample = 'Write, for example, [[0 s, 0 N], [0.1 s, 18 N], [2.4 s, 0 N]].';
const RULES = ruleKinds()
  .map((rule) => rule.kind)
  .join(', ');
const kinds = 'normal, truncatedNormal, lognormal, uniform, triangular, beta, discrete, chance, student, measured';

const CASES: readonly (readonly [what: string, edit: Edit, ...lines: string[]])[] = [
  [
    'an empty title',
    { 1: 'title:' },
    'lander.yaml:1:1 title: read an empty value; expected a line of text. Write, for example, Thistledown in light wind.',
  ],
  ['half a seed', { 2: 'seed: 1.5' }, 'lander.yaml:2:7 seed: read 1.5; expected a whole number or a line of text. Write, for example, 1.'],
  [
    'a wrong dimension',
    { 4: '  body: { length: 3 kg, diameter: 94 mm }' },
    'lander.yaml:4:19 vehicle.body.length: read "3 kg" (that is a mass); expected a length in m above 0 m, at most 10 m. Write, for example, 860 mm.',
  ],
  [
    'infinity, and not a number',
    { 4: '  body: { length: .inf, diameter: .nan }' },
    'lander.yaml:4:19 vehicle.body.length: read Infinity; expected a length in m above 0 m, at most 10 m. Write, for example, 860 mm.',
    'lander.yaml:4:35 vehicle.body.diameter: read NaN; expected a length in m above 0 m, at most 2 m. Write, for example, 94 mm.',
  ],
  [
    'a mistyped key',
    { 4: '  body: { lenght: 860 mm, diameter: 94 mm }' },
    'lander.yaml:4:3 vehicle.body.length: missing; expected a length in m above 0 m, at most 10 m. Write, for example, 860 mm.',
    'lander.yaml:4:11 vehicle.body.lenght: unknown key; expected one of length, diameter. Did you mean "length"?',
  ],
  [
    'a negative mass',
    { 5: '  airframe: { mass: -1 kg, station: 560 mm, inertiaAxial: 0.0017, inertiaTransverse: 0.043 }' },
    'lander.yaml:5:21 vehicle.airframe.mass: read "-1 kg"; expected a mass from 0.01 kg to 50 kg. Give a value in that range.',
  ],
  [
    'a lag of an angle and a rate of zero',
    { 16: '  gimbal: { limit: 5 deg, lag: 25 deg, rateLimit: 0 }' },
    'lander.yaml:16:32 vehicle.gimbal.lag: read "25 deg" (that is an angle); expected a time in s from 0.002 s to 1 s. Write, for example, 25 ms.',
    'lander.yaml:16:51 vehicle.gimbal.rateLimit: read 0; expected an angular rate from 0.572958 deg/s to 5729.58 deg/s. Give a value in that range.',
  ],
  [
    'nine legs and two releases',
    {
      17: '  legs: { count: 9, radius: 270 mm, footStation: 900 mm, release: { afterApogee: 1 s, atHeight: 3 m }, deploymentTime: 0.3 s }',
    },
    'lander.yaml:17:18 vehicle.legs.count: read 9; expected a whole number from 3 to 8. Write, for example, 4.',
    'lander.yaml:17:58 vehicle.legs.release: read afterApogee and atHeight; expected exactly one of afterApogee, atHeight. Keep one.',
  ],
  [
    'no propellant',
    { 21: '  propellantMass: 0' },
    'lander.yaml:21:19 ascent.propellantMass: read 0; expected a mass from 0.0001 kg to 5 kg. Give a value in that range.',
  ],
  ['a missing curve', { 19: '' }, 'lander.yaml:18:1 ascent.curve: missing; expected a value. Add curve: with its value.'],
  [
    'an empty curve',
    { 19: '  curve: []' },
    'lander.yaml:19:3 ascent.curve: read a curve of 0 points; expected at least 2. Give the whole curve.',
  ],
  [
    'a curve without impulse',
    { 19: '  curve: [[0, 0], [1, 0]]' },
    'lander.yaml:19:3 ascent.curve: read a curve with no impulse; expected thrust above 0 N somewhere. Give the measured thrust.',
  ],
  [
    'a curve whose times stand still or begin too soon, and thrust that pulls',
    { 19: '  curve: [[-1, 0], [0.5, 60], [0.5, -50], [1, 0]]' },
    'lander.yaml:19:11 ascent.curve.0: read the time -1 s; expected 0 s or later. Start the curve at 0 s.',
    'lander.yaml:19:31 ascent.curve.2: read the thrust -50 N; expected 0 N or more. A motor does not pull.',
    'lander.yaml:19:31 ascent.curve.2: read the time 0.5 s after 0.5 s; expected times that increase. Sort the points and give each time once.',
  ],
  [
    'points that are none',
    { 19: '  curve: [[0, 0], [1, 3 kg], [2]]' },
    'lander.yaml:19:23 ascent.curve.1.1: read "3 kg" (that is a mass); expected a thrust in N. Write, for example, 18 N.',
    'lander.yaml:19:30 ascent.curve.2: read a list; expected a point of a time and a thrust. Write, for example, [0.1 s, 18 N].',
  ],
  [
    'a curve that is no curve',
    { 19: '  curve: 7' },
    `lander.yaml:19:10 ascent.curve: read 7; expected the name of a CSV file or a list of points. ${curveExample}`,
  ],
  [
    'a missing file',
    { 19: '  curve: gone.csv' },
    'lander.yaml:19:10 ascent.curve: read "gone.csv": no such file; expected a text file. Check the name.',
  ],
  [
    'an unknown kind of rule',
    { 34: '  low: { kind: fixedHight, height: 7 m }' },
    `lander.yaml:34:16 rules.low.kind: read "fixedHight"; expected a kind of rule: ${RULES}. Did you mean "fixedHeight"?`,
  ],
  [
    'a constant out of bounds and one unknown',
    { 34: '  low: { kind: fixedHeight, height: 900 m, hight: 2 }' },
    'lander.yaml:34:37 rules.low.height: read "900 m"; expected a length from 0 m to 500 m. Give a value in that range.',
    'lander.yaml:34:44 rules.low.hight: unknown key; expected one of kind, height, lead, tiltGuard, insideTick. Did you mean "height"?',
  ],
  [
    'no rule',
    { 33: 'rules: {}', 34: '' },
    'lander.yaml:33:1 rules: read an empty map; expected at least one rule. Write, for example, fixed-height: { kind: fixedHeight, height: 7 m }.',
  ],
  [
    'a rule with a dot in its name',
    { 34: '  a.b: { kind: fixedHeight, height: 7 m }' },
    'lander.yaml:34:3 rules.a.b: read "a.b" as a name; expected letters, digits, dashes and spaces, a letter first. Rename the rule.',
  ],
  [
    'a limit of zero',
    { 35: 'limits: { sink: 0 m/s }' },
    'lander.yaml:35:17 limits.sink: read "0 m/s"; expected a speed above 0 m/s, at most 100 m/s. Give a value in that range.',
  ],
  [
    'a section that is a number',
    { 35: 'limits: 3' },
    'lander.yaml:35:9 limits: read 3; expected a map with sink, slide, tilt, lostControlTilt, radius, time. Write the keys below it, indented.',
  ],
  [
    'an unknown input',
    { 37: '  wind.sped: 3' },
    'lander.yaml:37:3 inputs.wind.sped: unknown input; expected the key of an input, or a name with * that some keys match. Did you mean "wind.speed"?',
  ],
  [
    'an unknown distribution',
    { 37: '  wind.speed: { gaussian: 3 }' },
    `lander.yaml:37:17 inputs.wind.speed.gaussian: unknown key; expected one of ${kinds}, stays.`,
  ],
  [
    'no distribution',
    { 37: '  wind.speed: {}' },
    `lander.yaml:37:3 inputs.wind.speed: read an empty map; expected exactly one of ${kinds}. Keep one.`,
  ],
  [
    'a missing spread',
    { 37: '  wind.speed: { normal: {} }' },
    'lander.yaml:37:17 inputs.wind.speed.normal.sd: missing; expected a value. Add sd: with its value.',
  ],
  [
    'ends the wrong way round',
    { 37: '  wind.speed: { uniform: { low: 4, high: 0 } }' },
    'lander.yaml:37:42 inputs.wind.speed.uniform.high: read 0 with a low of 4; expected high above low. Swap or widen them.',
  ],
  [
    'a mode beyond an end',
    { 37: '  wind.speed: { triangular: { low: 0, mode: 5, high: 4 } }' },
    'lander.yaml:37:45 inputs.wind.speed.triangular.mode: read 5; expected a mode from low to high. Move it between them.',
  ],
  [
    'a sixth of the draws out of bounds',
    { 37: '  wind.speed: { normal: { mean: 2, sd: 2 } }' },
    'lander.yaml:37:3 inputs.wind.speed: read a distribution with 16 % of its draws outside 0 m/s to 30 m/s; expected at most 1 %. Narrow it, or cut it off with truncatedNormal.',
  ],
  [
    'a share of nothing',
    { 37: '  wind.speed: { normal: { sd: 5 % } }' },
    'lander.yaml:37:31 inputs.wind.speed.normal.sd: read "5 %" of a nominal value of 0; expected a speed in m/s. Give it as a quantity.',
  ],
  [
    'a negative share',
    { 37: '  airframe.mass: { normal: { sd: -1 % } }' },
    'lander.yaml:37:34 inputs.airframe.mass.normal.sd: read "-1 %" (a share); expected a mass in kg at least 0 kg. Write, for example, 1.15 kg.',
  ],
  [
    'a spread in degrees Celsius',
    { 37: '  site.temperature: { normal: { sd: 3 degC } }' },
    'lander.yaml:37:37 inputs.site.temperature.normal.sd: read "3 degC" (a difference of temperatures is in K); expected a difference of temperatures in K. Write, for example, 3 K.',
  ],
  [
    'a chance of a speed',
    { 37: '  wind.speed: { chance: 5 % }' },
    'lander.yaml:37:3 inputs.wind.speed: read chance; expected a distribution of a speed in m/s. Write, for example, { uniform: { low: ..., high: ... } }.',
  ],
  [
    'a chance above one',
    { 37: '  landing.igniterFails: { chance: 150 % }' },
    'lander.yaml:37:35 inputs.landing.igniterFails.chance: read "150 %"; expected a plain number from 0 to 1. Give a value in that range.',
  ],
  [
    'half a failure',
    { 37: '  landing.igniterFails: 0.5' },
    'lander.yaml:37:25 inputs.landing.igniterFails: read 0.5; expected a chance, or 0 or 1 for every flight. Write, for example, { chance: 1.5 % }.',
  ],
  [
    'a failure on a scale',
    { 37: '  landing.igniterFails: { uniform: { low: 0, high: 1 } }' },
    'lander.yaml:37:3 inputs.landing.igniterFails: read uniform; expected a chance, for it happens or not. Write, for example, { chance: 1.5 % }.',
  ],
  [
    'a weight short',
    { 37: '  wind.speed: { discrete: { values: [1, 2], weights: [1] } }' },
    'lander.yaml:37:45 inputs.wind.speed.discrete.weights: read 1 weights for 2 values; expected one for each. Add or remove some.',
  ],
  [
    'a negative weight',
    { 37: '  wind.speed: { discrete: { values: [1, 2], weights: [1, -1] } }' },
    'lander.yaml:37:58 inputs.wind.speed.discrete.weights.1: read -1; expected a plain number above 0. Give a value in that range.',
  ],
  [
    'bench data without spread, smoothed',
    { 37: '  wind.speed: { measured: { values: [1, 1, 1], as: smooth } }' },
    'lander.yaml:37:17 inputs.wind.speed.measured: read 3 values with quartiles 1 and 1, which leave a bandwidth of 0; expected one above 0. Give a bandwidth, or write as: resample.',
  ],
  [
    'a fixed value out of bounds',
    { 37: '  wind.speed: 40' },
    'lander.yaml:37:15 inputs.wind.speed: read 40; expected a speed from 0 m/s to 30 m/s. Give a value in that range.',
  ],
  [
    'two patterns for one input',
    { 37: '  wind.*: 1', 38: '  "*.speed": 2' },
    'lander.yaml:38:3 inputs.*.speed: read both wind.* and *.speed for wind.speed; expected one. Give wind.speed an entry of its own, or narrow one.',
  ],
  [
    'a correlation with what does not exist, and of one',
    { 41: '  - { between: [ascent.impulseFactor, wind.sped], rank: 1 }' },
    'lander.yaml:41:39 correlations.0.between.1: read "wind.sped"; expected the key of an input. Did you mean "wind.speed"?',
    'lander.yaml:41:57 correlations.0.rank: read 1; expected a rank correlation between -1 and 1, ends left out. Weaken it.',
  ],
  [
    'a correlation with what does not vary',
    { 41: '  - { between: [ascent.impulseFactor, rail.tilt], rank: 0.5 }' },
    'lander.yaml:41:39 correlations.0.between.1: read "rail.tilt", which does not vary; expected an input that does. Give it a distribution, or remove the correlation.',
  ],
  [
    'a motor longer than the body',
    { 23: '  length: 2 m' },
    'lander.yaml:22:12 ascent.station: read 0.812 m, so that the motor reaches from -0.188 m to 1.812 m; expected it within the body, 0 m to 0.86 m, but for a tenth of the body’s length at the tail. Move or shorten it.',
  ],
  [
    'a motor’s radius and its diameter',
    { 24: '  radius: 14.5 mm\n  diameter: 29 mm' },
    'lander.yaml:18:1 ascent: read radius and diameter; expected one of the two. Remove the other.',
  ],
  [
    'neither of them',
    { 24: '  # none' },
    'lander.yaml:18:1 ascent: read neither radius nor diameter; expected one of the two. Write, for example, diameter: 29 mm.',
  ],
  [
    'a temperature that is Celsius without saying so',
    { 37: '  site.temperature: 15' },
    'lander.yaml:37:21 inputs.site.temperature: read 15; expected a temperature from 220 K to 330 K. A bare number is in K; write, for example, 15 degC.',
  ],
  [
    'a nozzle ahead of its motor, and a motor wider than the body',
    { 24: '  radius: 60 mm', 25: '  nozzleStation: 100 mm' },
    'lander.yaml:24:11 ascent.radius: read 0.06 m; expected at most the body’s radius, 0.047 m. Give the radius, not the diameter.',
    'lander.yaml:25:18 ascent.nozzleStation: read 0.1 m; expected it from the motor’s middle, 0.812 m, to one motor length behind its end, 0.9545 m. Mend one of them.',
  ],
  [
    'a centre of mass behind the tail and inertias no body has',
    { 5: '  airframe: { mass: 930 g, station: 900 mm, inertiaAxial: 9, inertiaTransverse: 4.3 }' },
    'lander.yaml:5:37 vehicle.airframe.station: read 0.9 m; expected a station within the body, 0 m to 0.86 m. Measure it aft of the nose tip.',
    'lander.yaml:5:59 vehicle.airframe.inertiaAxial: read 9 kg m^2; expected at most twice the transverse one, 8.6 kg m^2: no body has more. Swap or mend them.',
    'lander.yaml:5:81 vehicle.airframe.inertiaTransverse: read 4.3 kg m^2; expected at most 0.174011 kg m^2, that of the whole mass at the two ends of the body. Check its unit.',
  ],
  [
    'feet inside the body',
    { 17: '  legs: { radius: 20 mm, footStation: 800 mm, release: { afterApogee: 1 s }, deploymentTime: 0.3 s }' },
    'lander.yaml:17:19 vehicle.legs.radius: read 0.02 m; expected more than the body’s radius, 0.047 m. Measure from the axis, deployed.',
    'lander.yaml:17:39 vehicle.legs.footStation: read 0.8 m; expected feet at or behind the base, 0.86 m, or the vehicle stands on its body. Measure them deployed.',
  ],
  ['a key twice', { 2: 'seed: 1\nseed: 2' }, 'lander.yaml:3:1 read seed a second time; expected each key once. Remove one.'],
  [
    'a list left open',
    { 2: 'seed: [1' },
    'lander.yaml:3:1 not sound YAML: Flow sequence in block collection must be sufficiently indented and end with a ]. Mend the line, or the one above it.',
  ],
  ['an unknown tag', { 2: 'seed: !foo 1' }, 'lander.yaml:2:7 not sound YAML: Unresolved tag: !foo. Mend the line, or the one above it.'],
];

describe('a mistake in a study gives its place, what was read, what was expected and what to do', () => {
  it('and the study without any is accepted', async () => {
    expect((await read(plainText())).warnings).toEqual([]);
  });

  it.each(CASES.map(([what, edit, ...lines]) => ({ what, edit, lines })))('$what', async ({ edit, lines }) => {
    expect(await problemsOf(plainText(edit))).toEqual(lines);
  });

  it('mistakes all over the file are reported together, in its order', async () => {
    const edit = {
      4: '  body: { length: 3 kg, diameter: 94 mm }',
      19: '  curve: []',
      34: '  low: { kind: x }',
      37: '  wind.speed: 40',
      41: '  - 3',
    };
    const places = (await problemsOf(plainText(edit))).map((line) => line.split(' ')[0]);
    expect(places).toEqual(['lander.yaml:4:19', 'lander.yaml:19:3', 'lander.yaml:34:16', 'lander.yaml:37:15', 'lander.yaml:41:5']);
  });

  it('an empty file and a file with a single value are no study', async () => {
    const expected = 'expected a map with title, seed, flights, design, vehicle, ascent, .... Write the keys below it, indented.';
    expect(await problemsOf('')).toEqual([`lander.yaml:1:1 the study: read an empty value; ${expected}`]);
    expect(await problemsOf('3')).toEqual([`lander.yaml:1:1 the study: read 3; ${expected}`]);
  });

  it('aliases that multiply are stopped', async () => {
    const nine = (name: string) => Array.from({ length: 9 }, () => name).join(',');
    const text = ['a: &a [x,x]', ...[...'bcdefgh'].map((key, i) => `${key}: &${key} [${nine(`*${'abcdefg'[i]}`)}]`)].join('\n');
    expect(await problemsOf(text)).toEqual([
      'lander.yaml:1:1 read aliases that unfold without end; expected at most 200. Write the values out.',
    ]);
  });
});

describe('a mistake in a CSV file gives the place in that file', () => {
  const withCurve = (csv: string) => problemsOf(plainText({ 19: '  curve: c.csv' }), [], folderOf({ 'c.csv': csv }));

  it.each([
    ['', 'c.csv:1:1: read an empty table; expected a header line time_s,thrust_N and rows below it. Add them.'],
    [
      'time_s,thrust\n0,0\n',
      'c.csv:1:1: read the columns time_s, thrust; expected a column thrust_N. Name it in the header line. Did you mean "thrust"?',
    ],
    ['time_s,thrust_N,time_s\n0,0,0\n', 'c.csv:1:17: read the column time_s twice; expected it once. Rename one.'],
    ['time_s,thrust_N\n0,0\n1, x\n2,0\n', 'c.csv:3:4: read "x"; expected a number for thrust_N. Write plain digits, such as 0.15.'],
    ['time_s,thrust_N\n0,0\n1,\n2,0\n', 'c.csv:3:3: read ""; expected a number for thrust_N. Write plain digits, such as 0.15.'],
    ['time_s,thrust_N\n0,0\n1\n', 'c.csv:3:1: read 1 values; expected 2, one for each column. Mend the row.'],
    [
      '# peak\n\nthrust_N,time_s\r\n0,0\r\n9,1\r\n0,1\r\n',
      'c.csv:6:3: read the time 1 s after 1 s; expected times that increase. Sort the points and give each time once.',
    ],
  ])('%j', async (csv, line) => {
    expect(await withCurve(csv)).toEqual([line]);
  });

  it('the columns may stand in either order, among others and comments', async () => {
    const folder = folderOf({ 'c.csv': '# a motor\n"thrust_N",note,time_s\n0,a,0\n\n60,b,0.5\n0,c,1\n' });
    const { study } = await read(plainText({ 19: '  curve: c.csv' }), [], folder);
    expect(study.ascent.curve).toEqual({ time: [0, 0.5, 1], thrust: [0, 60, 0] });
  });
});
