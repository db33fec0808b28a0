/** `--set path=value`. */
import { describe, expect, it } from 'vitest';
import { plainText, problemsOf, read } from './plainStudy.ts';

const study = async (set: readonly string[], edit = {}) => (await read(plainText(edit), set)).study;

describe('a setting', () => {
  it('named as an input holds that input on every flight', async () => {
    const { inputs, ascent } = await study(['ascent.impulseFactor=1.021', 'landing.ignitionDelay=90 ms'], { 40: '', 41: '' });
    expect(inputs['ascent.impulseFactor']).toEqual({ kind: 'fixed', value: 1.021 });
    expect(inputs['landing.ignitionDelay']).toEqual({ kind: 'fixed', value: 0.09 });
    expect(ascent.ignitionDelay).toBe(0);
  });

  it('named as an input may be a distribution', async () => {
    const { inputs } = await study(['wind.speed={ uniform: { low: 1, high: 2 } }']);
    expect(inputs['wind.speed']).toEqual({ kind: 'uniform', low: 1, high: 2 });
  });

  it('gives a motor its temperature, in degrees and shares per kelvin, which the study written out keeps', async () => {
    const set = ['landing.temperature={ reference: 20 degC, impulsePerKelvin: 0.1 %, burnTimePerKelvin: -0.2 % }'];
    const opened = await read(plainText(), set);
    const { temperature } = opened.study.landing;
    expect(temperature).toEqual({ reference: 293.15, impulsePerKelvin: 0.001, burnTimePerKelvin: -0.002, stated: null });
    expect(opened.study.ascent.temperature).toBeNull();
    expect((await read(opened.text)).study.landing.temperature).toEqual(temperature);
    expect((await study([...set, 'landing.temperature.stated=15 degC'])).landing.temperature?.stated).toBeCloseTo(288.15, 12);
  });

  it('named by a pattern goes to every input it matches, also before a key of its own', async () => {
    const { inputs } = await study(['gyro.bias*=0'], { 37: '  gyro.biasY: { normal: { sd: 0.1 deg/s } }' });
    expect((['X', 'Y', 'Z'] as const).map((axis) => inputs[`gyro.bias${axis}`])).toEqual(Array(3).fill({ kind: 'fixed', value: 0 }));
  });

  it('reaches into an entry whose key holds dots', async () => {
    const { inputs } = await study(['inputs.ascent.impulseFactor.normal.sd=5%']);
    expect(inputs['ascent.impulseFactor']).toEqual({ kind: 'normal', mean: 1, sd: 0.05 });
  });

  it('reaches into one input of a pattern and leaves the others', async () => {
    const { inputs } = await study(['inputs.gyro.biasX.normal.sd=0.02'], { 37: '  gyro.bias*: { normal: { sd: 0.01 } }' });
    expect([inputs['gyro.biasX'], inputs['gyro.biasY']]).toEqual([
      { kind: 'normal', mean: 0, sd: 0.02 },
      { kind: 'normal', mean: 0, sd: 0.01 },
    ]);
  });

  it('reaches values, constants, points of lists, and what the file leaves out', async () => {
    const changed = await study([
      'sensors.rounding=off',
      'rules.low.height=8 m',
      'ascent.curve.1.1=61',
      'site.elevation=200',
      'seed=0',
      'title=a=b',
    ]);
    expect(changed.sensors.rounding).toBe(false);
    expect(changed.rules[0]?.constants).toEqual({ height: 8 });
    expect(changed.ascent.curve.thrust[1]).toBe(61);
    expect(changed.site.elevation).toBe(200);
    expect(changed.seed).toBe('0');
    expect(changed.title).toBe('a=b');
  });

  it('given twice counts as the last', async () => {
    expect((await study(['rules.low.height=8', 'rules.low.height=9'])).rules[0]?.constants).toEqual({ height: 9 });
  });

  it('a spread of nothing holds the input', async () => {
    expect((await study(['inputs.landing.impulseFactor.normal.sd=0'], { 41: '  []' })).inputs['landing.impulseFactor']).toEqual({
      kind: 'fixed',
      value: 1,
    });
  });
});

describe('a mistake in a setting names the option', () => {
  it.each([
    [
      'ascent.impulsFactor=1',
      '--set ascent.impulsFactor=1: unknown path; expected an input or a place of the study. Did you mean "ascent.impulseFactor"?',
    ],
    ['site.elevatoin=1', '--set site.elevatoin=1: unknown path; expected an input or a place of the study. Did you mean "site.elevation"?'],
    ['inputs.nothing=1', '--set inputs.nothing=1: unknown path; expected an input or a place of the study. See the lists of both.'],
    [
      'rules.low.heigt=8',
      '--set rules.low.heigt=8: rules.low.heigt: unknown key; expected one of kind, height, lead, tiltGuard, insideTick. Did you mean "height"?',
    ],
    ['foo', '--set foo: read no path and value; expected path=value. Write, for example, --set seed=7.'],
    ['gimbal.limt=3deg', '--set gimbal.limt=3deg: unknown path; expected an input or a place of the study. Did you mean "gimbal.limit"?'],
    ['title.x=3', '--set title.x=3: unknown path; expected an input or a place of the study. Did you mean "title"?'],
    ['seed=[1', '--set seed=[1: not sound YAML: Flow sequence must end with a ]. Put the value in quotes.'],
    [
      'vehicle.body.length=-3',
      '--set vehicle.body.length=-3: vehicle.body.length: read -3; expected a length above 0 m, at most 10 m. Give a value in that range.',
    ],
    [
      'wind.speed=40',
      '--set wind.speed=40: inputs.wind.speed: read 40; expected a speed from 0 m/s to 30 m/s. Give a value in that range.',
    ],
    [
      'inputs.wind.speed.normal.sd=1',
      '--set inputs.wind.speed.normal.sd=1: inputs.wind.speed: read normal and uniform; expected exactly one of normal, truncatedNormal, lognormal, uniform, triangular, beta, discrete, chance, student, measured. Keep one.',
    ],
    [
      'ascent.curve=gone.csv',
      '--set ascent.curve=gone.csv: ascent.curve: read "gone.csv": no such file; expected a text file. Check the name.',
    ],
    [
      'vehicle.__proto__=3',
      '--set vehicle.__proto__=3: read __proto__ in the path; expected names of the study. That one is reserved; choose another.',
    ],
  ])('%s', async (setting, line) => {
    expect(await problemsOf(plainText(), [setting])).toEqual([line]);
  });

  it('and the file keeps its own mistakes beside it', async () => {
    expect(
      (await problemsOf(plainText({ 35: 'limits: { sink: 0 }' }), ['seed='])).map((line) => line.split(' ').slice(0, 2).join(' ')),
    ).toEqual(['lander.yaml:35:17 limits.sink:', '--set seed=:']);
  });
});
