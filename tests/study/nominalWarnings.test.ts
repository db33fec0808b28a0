/** What a study is warned of: seen, why, what to do. Quiet without cause. */
import { describe, expect, it } from 'vitest';
import { plainText, read } from './plainStudy.ts';

const warnings = async (edit: Readonly<Record<number, string>>, set: readonly string[] = []) => (await read(plainText(edit), set)).warnings;

describe('a study is warned, with the numbers, when', () => {
  it.each([
    [
      'its curve begins or ends with thrust',
      { 19: '  curve: [[0, 5], [0.1, 60], [1, 55]]' },
      'lander.yaml:19:3 ascent.curve: the curve begins at 5 N, not at 0 N: thrust will jump there. The start of the recording may be cut off; add a point of 0 N before it.',
      'lander.yaml:19:3 ascent.curve: the curve ends at 55 N, not at 0 N: thrust will drop there at once. The tail may be cut off; add a point of 0 N after it.',
    ],
    [
      // centre of mass at launch: (0.93 * 0.56 + 0.057 * 0.812 + 0.057 * 0.715)/1.044 = 0.5822 m; (0.5 - 0.5822)/0.094
      // = -0.875
      'the air acts ahead of the centre of mass going up',
      { 10: '      normalNose: { slope: 6, station: 500 mm }' },
      'lander.yaml:6:3 vehicle.aerodynamics: going up, the air acts at 0.5 m, ahead of the centre of mass at 0.582 m: a static margin of -0.875 calibres, so it turns about without control. Move mass forward or area aft, unless the gimbal is meant to hold it.',
    ],
    [
      // falling: (0.93 * 0.56 + 0.03 * 0.812 + 0.057 * 0.715)/1.017 = 0.5761 m; air at (4 * 0.55 + 1.2 * 0.8)/5.2 =
      // 0.6077 m
      'the air acts behind it falling tail first',
      { 11: '      normalTail: { slope: 4, station: 550 mm }' },
      'lander.yaml:6:3 vehicle.aerodynamics: falling tail first with the legs out, the air acts at 0.608 m, behind the centre of mass at 0.576 m (nearer the tail, where the air comes from): a static margin of -0.336 calibres, so it flips. Move mass aft or the legs’ area forward.',
    ],
    [
      'the ascent thrust never exceeds the weight',
      { 19: '  curve: [[0, 0], [0.1, 10], [9, 0]]' },
      'lander.yaml:19:3 ascent.curve: the ascent thrust never exceeds 10 N, the weight is 10.2 N: it will not lift off. The motor is too small or the curve is in another unit; check both.',
    ],
    [
      'the ascent thrust is low',
      { 19: '  curve: [[0, 0], [0.1, 18], [3, 18], [3.1, 0]]' },
      'lander.yaml:19:3 ascent.curve: the ascent thrust is at most 1.76 times the weight (18 N against 10.2 N). It leaves the rail slowly, wind and misalignment turn it, and gravity takes most of the impulse; a stronger motor or a longer rail helps.',
    ],
    [
      'the gimbal turns far',
      { 16: '  gimbal: { limit: 0.5, lag: 25 ms, rateLimit: 300 deg/s }' },
      'lander.yaml:16:20 vehicle.gimbal.limit: the gimbal turns by 28.6 deg; about 5 deg is usual. The unit may be wrong (a bare number is in radians); write it with deg.',
    ],
    [
      'an axial coefficient is odd',
      { 8: '      axialNose: 0.05' },
      'lander.yaml:6:3 vehicle.aerodynamics: axialNose is 0.05; 0.15 to 1.15 is usual. It may refer to another area than the circle of the body’s diameter; check it.',
    ],
    [
      'an input varies that does nothing',
      { 37: '  legs.failure7: { chance: 1 % }\n  barometer.bias: { normal: { sd: 1 m } }' },
      'lander.yaml:37:3 inputs.legs.failure7: this input varies, but has no effect: the vehicle has 4 legs. It would only add noise to a ranking; remove it.',
      'lander.yaml:38:3 inputs.barometer.bias: this input varies, but has no effect: no barometer is fitted. It would only add noise to a ranking; remove it.',
    ],
    [
      // P(Z < -2/0.5) = 3.2e-5
      'a few draws in a hundred thousand lie out of bounds',
      { 37: '  wind.speed: { normal: { mean: 2, sd: 0.5 } }' },
      'lander.yaml:37:3 inputs.wind.speed: 0.0032 % of the draws lie outside what the model accepts, 0 m/s to 30 m/s, and will be held there. The tail is wide; cut it off with truncatedNormal.',
    ],
  ])('%s', async (_, edit, ...lines) => {
    expect(await warnings(edit)).toEqual(lines);
  });

  it('the landing thrust never exceeds the weight', async () => {
    expect(await warnings({}, ['landing.curve=[[0, 0], [0.1, 9], [20, 9], [20.1, 0]]'])).toEqual([
      '--set landing.curve=[[0, 0], [0.1, 9], [20, 9], [20.1, 0]]: landing.curve: the landing thrust never exceeds 9 N, the weight then is 9.97 N: it cannot stop the fall. Choose a stronger motor.',
    ]);
  });

  it('the landing impulse cannot take off the speed of the fall, and not when it just can', async () => {
    const with1 = (impulse: number) => warnings({}, [`landing.curve=[[0, 0], [0.1, ${impulse}], [1.9, ${impulse / 10}], [2, 0]]`]);
    // in a vacuum 54.7 N s on 1.03 kg give at most (54.7/1.03 - 9.8) 43 m/s; with air, fall and mass between 0.957 and
    // 1.017 kg the speed is less
    const [line] = await with1(20);
    const match =
      /the landing impulse is (\S+) N s; stopping a fall from the nominal apogee of (\S+) m, (\S+) m\/s at the ground, takes at least (\S+) N s/.exec(
        line ?? '',
      );
    const [impulse, apogee, speed, least] = (match ?? []).slice(1).map(Number) as [number, number, number, number];
    expect(impulse).toBe(20.9);
    expect(apogee).toBeGreaterThan(70);
    expect(apogee).toBeLessThan(43 ** 2 / 2 / 9.8 + 22);
    expect(speed).toBeLessThan(Math.sqrt(2 * 9.80665 * apogee));
    expect(least / speed).toBeCloseTo(0.93 + 0.027, 2);
    const enough = least * 1.02 * (20 / 20.9);
    expect(await with1(enough)).toEqual([]);
  });

  it('the fixed propellant counts, not the study’s: less of it to burn falls lighter and higher, and takes as much less to stop', async () => {
    const least = async (...set: string[]): Promise<[number, number, number]> => {
      const [line] = await warnings({}, ['landing.curve=[[0, 0], [0.1, 20], [1.9, 2], [2, 0]]', ...set]);
      const found = /apogee of (\S+) m, (\S+) m\/s at the ground, takes at least (\S+) N s/.exec(line ?? '');
      return (found ?? []).slice(1).map(Number) as [number, number, number];
    };
    // Written in the study or fixed as an input, it is the same vehicle.
    expect(await least('inputs.landing.propellantMass=0.2')).toEqual(await least('landing.propellantMass=0.2'));
    expect(await least('inputs.ascent.propellantMass=0.3')).toEqual(await least('ascent.propellantMass=0.3'));
    const [, speed, impulse] = await least('inputs.landing.propellantMass=0.2');
    // Airframe and landing casing are left, 0.957 kg, whatever propellant there was; three digits each.
    expect(impulse / speed).toBeCloseTo(0.957, 2);
  });

  it('it would leave the troposphere', async () => {
    const lines = await warnings({}, [
      'ascent.curve=[[0, 0], [0.1, 4000], [1, 4000], [1.1, 0]]',
      'site.elevation=9000',
      'vehicle.aerodynamics.coefficients.axialNose=0.15',
      'ascent.propellantMass=0.5',
      'landing.curve=[[0,0],[0.1,5000],[1,0]]',
    ]);
    expect(lines.join('\n')).toMatch(
      /site.elevation: a nominal flight reaches \d+ m above a site at 9000 m; the air model ends at 11000 m/,
    );
  });
});
