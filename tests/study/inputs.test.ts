/** How entries under `inputs:` become distributions. */
import { describe, expect, it } from 'vitest';
import type { InputKey } from '../../src/inputs/catalogue.ts';
import type { Distribution } from '../../src/inputs/distributions.ts';
import { silvermanBandwidth } from '../../src/study/silverman.ts';
import { folderOf, plainText, read } from './plainStudy.ts';

async function entry(line: string, key: InputKey, files: Readonly<Record<string, string>> = {}) {
  return (await read(plainText({ 37: `  ${line}` }), [], folderOf(files))).study.inputs[key];
}

it('a motor’s diameter is twice its radius', async () => {
  const { study } = await read(plainText({ 24: '  diameter: 29 mm' }));
  expect(study.ascent.radius).toBe(0.0145);
});

describe('an entry becomes a distribution in SI', () => {
  it.each<[string, InputKey, Distribution]>([
    ['airframe.mass: 1 kg', 'airframe.mass', { kind: 'fixed', value: 1 }],
    ['landing.igniterFails: yes', 'landing.igniterFails', { kind: 'fixed', value: 1 }],
    ['landing.igniterFails: 0', 'landing.igniterFails', { kind: 'fixed', value: 0 }],
    ['airframe.mass: { normal: { sd: 1 % } }', 'airframe.mass', { kind: 'normal', mean: 0.93, sd: 0.01 * 0.93 }],
    ['airframe.mass: { normal: { mean: 1 kg, sd: 5 g } }', 'airframe.mass', { kind: 'normal', mean: 1, sd: 0.005 }],
    [
      'landing.burnTimeFactor: { student: { scale: 2.3 %, freedom: 2 } }',
      'landing.burnTimeFactor',
      { kind: 'student', mean: 1, scale: 0.023, freedom: 2 },
    ],
    ['air.rollDamping: { normal: { sd: 1 % } }', 'air.rollDamping', { kind: 'normal', mean: -0.6, sd: 0.01 }],
    ['site.temperature: { normal: { sd: 3 K } }', 'site.temperature', { kind: 'normal', mean: 288.15, sd: 3 }],
    ['site.temperature: { uniform: { low: 5 degC, high: 300 K } }', 'site.temperature', { kind: 'uniform', low: 278.15, high: 300 }],
    [
      'wind.speed: { truncatedNormal: { mean: 2, sd: 1, low: 0, high: 5 } }',
      'wind.speed',
      { kind: 'truncatedNormal', mean: 2, sd: 1, low: 0, high: 5 },
    ],
    ['landing.ignitionDelay: { lognormal: { logSd: 0.25 } }', 'landing.ignitionDelay', { kind: 'lognormal', median: 0.11, logSd: 0.25 }],
    ['wind.speed: { triangular: { low: 0, mode: 1, high: 4 } }', 'wind.speed', { kind: 'triangular', low: 0, mode: 1, high: 4 }],
    ['wind.speed: { beta: { alpha: 2, beta: 3, low: 0, high: 4 } }', 'wind.speed', { kind: 'beta', alpha: 2, beta: 3, low: 0, high: 4 }],
    [
      'wind.speed: { discrete: { values: [1, 5], weights: [1, 3] } }',
      'wind.speed',
      { kind: 'discrete', values: [1, 5], weights: [0.25, 0.75] },
    ],
    ['wind.speed: { discrete: { values: [1, 5] } }', 'wind.speed', { kind: 'discrete', values: [1, 5], weights: [0.5, 0.5] }],
    ['landing.igniterFails: { chance: 1.5 % }', 'landing.igniterFails', { kind: 'chance', probability: 0.015 }],
    [
      'wind.speed: { measured: { values: [3, 1, 2] } }',
      'wind.speed',
      { kind: 'measured', values: [1, 2, 3], as: 'resample', bandwidth: 0 },
    ],
  ])('%s', async (line, key, expected) => {
    expect(await entry(line, key)).toEqual(expected);
  });

  it('bench data come from a column with its unit, sorted', async () => {
    const csv = 'firing,delay_ms\n1,120\n2,95\n3,101\n';
    expect(
      await entry('landing.ignitionDelay: { measured: { file: b.csv, column: delay_ms, unit: ms } }', 'landing.ignitionDelay', {
        'b.csv': csv,
      }),
    ).toEqual({ kind: 'measured', values: [0.095, 0.101, 0.12], as: 'resample', bandwidth: 0 });
  });

  it('smoothed bench data get Silverman’s bandwidth unless they have one', async () => {
    const d = await entry('wind.speed: { measured: { values: [11, 12, 13, 14, 16], as: smooth } }', 'wind.speed');
    expect(d).toEqual({
      kind: 'measured',
      values: [11, 12, 13, 14, 16],
      as: 'smooth',
      bandwidth: silvermanBandwidth([11, 12, 13, 14, 16]),
    });
    const given = await entry('wind.speed: { measured: { values: [1, 2], as: smooth, bandwidth: 0.2 } }', 'wind.speed');
    expect(given).toEqual({ kind: 'measured', values: [1, 2], as: 'smooth', bandwidth: 0.2 });
  });

  it('a key of its own goes before a pattern, wherever it stands', async () => {
    const { inputs } = (await read(plainText({ 37: '  gyro.biasY: 0.001\n  gyro.bias*: { normal: { sd: 0.01 } }' }))).study;
    expect([inputs['gyro.biasX']?.kind, inputs['gyro.biasY']?.kind, inputs['gyro.biasZ']?.kind]).toEqual(['normal', 'fixed', 'normal']);
  });

  it('a pattern stands for the legs the vehicle has', async () => {
    const { inputs } = (await read(plainText({ 37: '  legs.failure*: { chance: 1 % }' }))).study;
    expect(Object.keys(inputs).filter((key) => key.startsWith('legs.'))).toEqual([1, 2, 3, 4].map((i) => `legs.failure${i}`));
  });
});

describe('Silverman’s rule', () => {
  it('takes the lesser of the standard deviation and the quartiles’ share', () => {
    // sd of 1..5 is 1.58, quartiles 2 and 4: 2/1.34 = 1.49 is less
    expect(silvermanBandwidth([1, 2, 3, 4, 5])).toBeCloseTo(0.9 * (2 / 1.34) * 5 ** -0.2, 14);
    // quartiles 0 and 10, sd 5.16 is less than 10/1.34
    expect(silvermanBandwidth([0, 0, 0, 10, 10, 10])).toBeCloseTo(0.9 * Math.sqrt(30) * 6 ** -0.2, 13);
  });

  it('is nothing for one value or none that differ', () => {
    expect(silvermanBandwidth([3])).toBe(0);
    expect(silvermanBandwidth([3, 3, 3])).toBe(0);
  });
});

describe('ranks that cannot hold together', () => {
  const three = (rank: number) => ({
    41: `  - { between: [ascent.impulseFactor, landing.impulseFactor], rank: 0.9 }
  - { between: [landing.impulseFactor, wind.speed], rank: 0.9 }
  - { between: [ascent.impulseFactor, wind.speed], rank: ${rank} }`,
  });

  it('are taken to the very edge: r13 >= 2 r12^2 - 1 with r = 2 sin(pi rank/6)', async () => {
    const r = 2 * Math.sin((Math.PI * 0.9) / 6);
    const edge = (6 / Math.PI) * Math.asin((2 * r * r - 1) / 2);
    expect((await read(plainText(three(edge + 1e-6)))).study.correlations).toHaveLength(3);
    await expect(read(plainText(three(edge - 1e-6)))).rejects.toThrow('cannot all hold together');
  });

  it('name the pair to weaken, by how much, and weakening it so helps', async () => {
    const text = (rank: number) =>
      plainText({
        41: `  - { between: [ascent.impulseFactor, landing.impulseFactor], rank: ${rank} }
  - { between: [landing.impulseFactor, wind.speed], rank: 0.7 }
  - { between: [ascent.impulseFactor, wind.speed], rank: -0.1 }`,
      });
    const failure = await read(text(0.8)).then(
      () => '',
      (error: Error) => error.message,
    );
    const match = /^lander\.yaml:(\d+):\d+ correlations\.(\d)\.rank: read .* Weaken (\S+) with (\S+) to (\S+) or less in size/.exec(
      failure,
    );
    expect(match?.slice(1, 5)).toEqual(['41', '0', 'ascent.impulseFactor', 'landing.impulseFactor']);
    const kept = Number(match?.[5]);
    expect(kept).toBeGreaterThan(0.3);
    expect((await read(text(kept))).study.correlations[0]?.rank).toBe(kept);
    await expect(read(text(kept + 0.02))).rejects.toThrow('cannot hold together');
  });
});
