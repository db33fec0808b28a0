/** Quantities as people write them. */
import { describe, expect, it } from 'vitest';
import { readPercent, readQuantity, unitScale } from '../../src/study/units.ts';

/** Ten last bits, for products of two rounded factors. */
const CLOSE = 10 * Number.EPSILON;

describe('a quantity with its unit becomes SI', () => {
  it.each([
    ['1.15 kg', 'kg', 1.15],
    ['1.2kg', 'kg', 1.2],
    ['250 g', 'kg', 0.25],
    ['98 mm', 'm', 0.098],
    ['-4 mm', 'm', -0.004],
    ['1e3 mm', 'm', 1],
    ['60 ms', 's', 0.06],
    ['45 N*s', 'N s', 45],
    ['45 Ns', 'N s', 45],
    ['45 N s', 'N s', 45],
    ['0.0015 m/s^2/Hz^0.5', 'm/s^2/Hz^0.5', 0.0015],
    ['0.0015 m/s^2/rtHz', 'm/s^2/Hz^0.5', 0.0015],
    ['1013 hPa', 'Pa', 101300],
    ['288 K', 'K', 288],
    ['100 Hz', '1/s', 100],
    ['4 g*cm^2', 'kg m^2', 4e-7],
    ['57 %', '', 0.57],
    ['57 percent', '', 0.57],
    ['0.06 s^2/m', 's^2/m', 0.06],
    ['16 gee', 'm/s^2', 16 * 9.80665],
    ['5 deg', 'rad', 5 * (Math.PI / 180)],
    ['250 °', 'rad', 250 * (Math.PI / 180)],
    ['0.5 deg/s', 'rad/s', 0.5 * (Math.PI / 180)],
    ['60 rpm', 'rad/s', 2 * Math.PI],
    ['15 degC', 'K', 288.15],
    ['59 degF', 'K', 288.15],
    ['59 °F', 'K', 288.15],
    ['16 g_n', 'm/s^2', 16 * 9.80665],
    ['5 mg', 'm/s^2', 0.005 * 9.80665],
    ['1 g', 'm/s^2', 9.80665],
    ['5 mg', 'kg', 5e-6],
    ['150 ug/Hz^0.5', 'm/s^2/Hz^0.5', 150e-6 * 9.80665],
    ['150 µg/√Hz', 'm/s^2/Hz^0.5', 150e-6 * 9.80665],
    ['150 ug_n/rtHz', 'm/s^2/Hz^0.5', 150e-6 * 9.80665],
    ['250 dps', 'rad/s', 250 * (Math.PI / 180)],
    ['0.005 dps/Hz^0.5', 'rad/s/Hz^0.5', 0.005 * (Math.PI / 180)],
    ['800 gf', 'N', 0.8 * 9.80665],
    ['2 kgf', 'N', 2 * 9.80665],
    ['1 lbf', 'N', 4.4482216152605],
    ['12 µs', 's', 12e-6],
  ])('%s is %s: %s', (text, unit, expected) => {
    const reading = readQuantity(text, unit);
    expect('value' in reading ? Math.abs(reading.value / expected - 1) : reading).toBeLessThanOrEqual(CLOSE);
  });

  it('a bare number is SI already, to the last bit, written or as text', () => {
    expect(readQuantity(0.1, 'm')).toEqual({ value: 0.1 });
    expect(readQuantity('0.1', 'm')).toEqual({ value: 0.1 });
    expect(readQuantity('0.1 kg m^2', 'kg m^2')).toEqual({ value: 0.1 });
    expect(readQuantity(0, 'm')).toEqual({ value: 0 });
  });
});

describe('what is no such quantity is refused with the reason', () => {
  it.each([
    ['3 kg', 'm', 'that is a mass'],
    ['3 m', '', 'that is a length'],
    ['1 m/s^2', 'm/s^2/Hz^0.5', 'that is an acceleration'],
    ['1 m/s^2/Hz^0.5', 'm/s^2', 'that is an acceleration noise density'],
    ['1 N', 'N s', 'that is a force'],
    ['3 %', 'm', 'a share'],
    ['1,5 mm', 'm', 'a decimal comma'],
    ['3 furlongz', 'm', '"furlongz" is no known unit'],
    ['3 tempC', 'K', '"tempC" is no known unit'],
  ])('%s as %s: %s', (text, unit, problem) => {
    expect(readQuantity(text, unit)).toEqual({ problem });
  });

  it.each([[Number.NaN], [Number.POSITIVE_INFINITY], [null], [undefined], [true], [[]], [''], ['mm'], ['1e999']])(
    '%s is no quantity at all',
    (raw) => {
      expect(readQuantity(raw, 'm')).toEqual({ problem: '' });
    },
  );

  it('Celsius for a difference, which would be 273 K too much', () => {
    expect(readQuantity('3 degC', 'K', true)).toEqual({ problem: 'a difference of temperatures is in K' });
    expect(readQuantity('3 degF', 'K', true)).toEqual({ problem: 'a difference of temperatures is in K' });
    expect(readQuantity('3 K', 'K', true)).toEqual({ value: 3 });
  });
});

describe('a percent sign', () => {
  it('is a share, and nothing else has one', () => {
    expect(readPercent('1.5 %')).toBe(0.015);
    expect(readPercent('-2%')).toBe(-0.02);
    expect(readPercent('1.5')).toBeUndefined();
    expect(readPercent('3 kg')).toBeUndefined();
    expect(readPercent('m %')).toBeUndefined();
    expect(readPercent(0.015)).toBeUndefined();
  });
});

describe('the scale of a column', () => {
  it.each([
    ['ms', 's', { factor: 0.001, offset: 0 }],
    ['0.5 mg', 'm/s^2', { factor: 0.0005 * 9.80665, offset: 0 }],
    ['', '', { factor: 1, offset: 0 }],
    ['%', '', { factor: 0.01, offset: 0 }],
    ['degF', 'K', { factor: 5 / 9, offset: 459.67 * (5 / 9) }],
  ])('%s as %s', (text, unit, expected) => {
    const scale = unitScale(text, unit);
    // a difference of two numbers of 256 K loses their last bits
    expect('factor' in scale ? Math.abs(scale.factor - expected.factor) : scale).toBeLessThan(1e-13);
    expect('offset' in scale ? Math.abs(scale.offset - expected.offset) : scale).toBeLessThan(1e-13);
  });

  it('a unit of something else, or none', () => {
    expect(unitScale('kg', 'N')).toEqual({ problem: 'that is a mass' });
    expect(unitScale('furlongz', 'm')).toEqual({ problem: '"furlongz" is no known unit' });
  });
});

it('an ounce of force', () => {
  // the library's ounce has nine digits
  const reading = readQuantity('1 ozf', 'N');
  expect('value' in reading ? Math.abs(reading.value / 0.27801385095378125 - 1) : reading).toBeLessThan(5e-9);
});
