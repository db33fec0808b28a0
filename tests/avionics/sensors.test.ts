/** What the sensors say of what they feel. Model section 8. */
import { describe, expect, it } from 'vitest';
import { barometerReading, laggedHeight, reading, readTriple } from '../../src/avionics/sensors.ts';
import { NormalNoise } from '../../src/maths/normalNoise.ts';
import { noiseSeed } from '../../src/maths/streams.ts';
import { axesForTests } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';

describe('one axis', () => {
  it('scales the truth, then adds bias and noise, then rounds, then clips', () => {
    near(reading(10, 0.01, 0.05, 0.002, 0, 100), 10.152, 1e-14);
    expect(reading(10, 0.01, 0.05, 0, 0.5, 100)).toBe(10);
    expect(reading(10.2, 0.01, 0, 0, 0.5, 100)).toBe(10.5);
    // Half way rounds up, below zero too: floor(x + 1/2).
    expect(reading(0.25, 0, 0, 0, 0.5, 100)).toBe(0.5);
    expect(reading(-0.25, 0, 0, 0, 0.5, 100)).toBe(0);
    expect(reading(-0.26, 0, 0, 0, 0.5, 100)).toBe(-0.5);
    expect(reading(150, 0.1, 0, 0, 0.5, 157)).toBe(157);
    expect(reading(-150, 0.1, 0, 0, 0.5, 157)).toBe(-157);
    // The range itself need not be a multiple of the step.
    expect(reading(1e9, 0, 0, 0, 0.4, 157.1)).toBe(157.1);
  });
});

describe('three axes', () => {
  const axes = axesForTests({ biasX: 1, biasY: 2, biasZ: 3, scaleX: 0.1, scaleY: 0.2, scaleZ: 0.3, noiseX: 0.1, noiseY: 0.2, noiseZ: 0.4 });
  it('each have their own errors, and go where they are asked to', () => {
    const out = new Float64Array(7);
    readTriple(out, 3, Float64Array.of(9, 10, 20, 30), 1, axes, null);
    expect([...out]).toEqual([0, 0, 0, 12, 26, 42, 0]);
  });

  it('take three normals from the stream, scaled, in the order x, y, z', () => {
    const noise = new NormalNoise();
    noise.reset(noiseSeed('axes'));
    const out = new Float64Array(3);
    readTriple(out, 0, new Float64Array(3), 0, axes, noise);
    noise.prepare(1);
    const next = noise.next();
    noise.reset(noiseSeed('axes'));
    noise.prepare(4);
    near(out[0], 1 + 0.1 * noise.next(), 1e-15);
    near(out[1], 2 + 0.2 * noise.next(), 1e-15);
    near(out[2], 3 + 0.4 * noise.next(), 1e-15);
    expect(noise.next()).toBe(next);
  });
});

describe('the barometer', () => {
  it('lags as a first-order filter, exactly, however the time is cut', () => {
    near(laggedHeight(0, 10, 0.5, 0.5), 10 * (1 - Math.exp(-1)), 1e-14);
    const twice = laggedHeight(laggedHeight(3, 10, 0.2, 0.5), 10, 0.3, 0.5);
    near(twice, laggedHeight(3, 10, 0.5, 0.5), 1e-14);
    expect(laggedHeight(3, 10, 0.2, 0)).toBe(10);
  });

  it('adds its bias and its noise', () => {
    const b = { bias: 2, noise: 0.5, lag: 0, speedGain: 0, heightGain: 0 };
    expect(barometerReading(40, b, null)).toBe(42);
    const noise = new NormalNoise();
    noise.reset(noiseSeed('barometer'));
    const read = barometerReading(40, b, noise);
    noise.reset(noiseSeed('barometer'));
    noise.prepare(1);
    near(read, 42 + 0.5 * noise.next(), 1e-14);
  });
});
