/**
 * Quantities as a person writes them (`98 mm`, `0.5 deg/s`, `3 %`, `15 degC`) turned into SI numbers, dimension
 * checked. A bare number is SI. Knows no section of a study.
 *
 * Unit expressions are read by a units library once each and kept; what it does not know is turned into what it does
 * first: `Ns`, `gf`, `dps`, noise densities (`.../Hz^0.5`, `.../rtHz`), Celsius and Fahrenheit. A gravity is `gee` or
 * `g_n`; `g` and `mg` are grams, but where an acceleration is expected, which no mass can be.
 */
import Qty from 'js-quantities';

/** What a text was found to be: an SI number, or why it is none. */
export type Reading = { readonly value: number } | { readonly problem: string };

interface Unit {
  /** SI units in one of these. */
  readonly factor: number;
  /** One of these, as the library holds it; null for a plain number. */
  readonly quantity: Qty | null;
  /** Per root hertz. */
  readonly density: boolean;
}

const TEXT = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(.*)$/i;
const PER_ROOT_HERTZ = /\s*\/\s*(?:Hz\^0\.5|rtHz|sqrt\(Hz\)|√Hz)$/;

/** Scales of temperature with a zero of their own: kelvins in a degree, and how many degrees it lies above 0 K. */
const SCALES: ReadonlyMap<string, { readonly degree: number; readonly zero: number }> = new Map([
  ['degC', { degree: 1, zero: 273.15 }],
  ['°C', { degree: 1, zero: 273.15 }],
  ['celsius', { degree: 1, zero: 273.15 }],
  ['degF', { degree: 5 / 9, zero: 459.67 }],
  ['°F', { degree: 5 / 9, zero: 459.67 }],
  ['fahrenheit', { degree: 5 / 9, zero: 459.67 }],
]);

const WORDS: Readonly<Record<string, string>> = {
  '': 'a plain number',
  m: 'a length',
  kg: 'a mass',
  s: 'a time',
  rad: 'an angle',
  K: 'a temperature',
  N: 'a force',
  Pa: 'a pressure',
  'N s': 'an impulse',
  'm/s': 'a speed',
  'm/s^2': 'an acceleration',
  'rad/s': 'an angular rate',
  'm^2': 'an area',
  'kg m^2': 'a moment of inertia',
  '1/s': 'a rate',
  '1/s^2': 'a gain per second squared',
  'rad s': 'an angle times a time',
  's/m': 'a time per length',
  'N/m': 'a stiffness',
  'N s/m': 'a damping',
  's^2/m': 'a time squared per length',
  'm/s^2/Hz^0.5': 'an acceleration noise density',
  'rad/s/Hz^0.5': 'an angular-rate noise density',
  'm/Hz^0.5': 'a height noise density',
};

const EXAMPLES: Readonly<Record<string, string>> = {
  '': '0.7',
  m: '98 mm',
  kg: '1.15 kg',
  s: '60 ms',
  rad: '5 deg',
  K: '15 degC',
  N: '12 N',
  Pa: '1013 hPa',
  'N s': '45 N*s',
  'm/s': '2.5 m/s',
  'm/s^2': '13 m/s^2',
  'rad/s': '0.5 deg/s',
  'm^2': '0.08 m^2',
  'kg m^2': '0.04 kg*m^2',
  '1/s': '0.2 1/s',
  '1/s^2': '0.5 1/s^2',
  'rad s': '0.1 rad*s',
  's/m': '0.06 s/m',
  'N/m': '600 N/m',
  'N s/m': '17 N*s/m',
  's^2/m': '0.06 s^2/m',
  'm/s^2/Hz^0.5': '0.0015 m/s^2/Hz^0.5',
  'rad/s/Hz^0.5': '0.005 deg/s/Hz^0.5',
  'm/Hz^0.5': '0.05 m/Hz^0.5',
};

/** `a length`, `a plain number`: what a unit measures, in words; `a quantity in X` for a rare one. */
export function dimensionWord(unit: string): string {
  return WORDS[unit] ?? `a quantity in ${unit}`;
}

/** A value of that unit as one might write it. */
export function exampleOf(unit: string): string {
  return EXAMPLES[unit] ?? `1 ${unit}`;
}

/** `a length in m`, `a plain number`. */
export function expectedOf(unit: string): string {
  return unit === '' ? dimensionWord(unit) : `${dimensionWord(unit)} in ${unit}`;
}

/** Characters of a unit at most. */
const LONGEST = 60;

const known = new Map<string, Unit | null>();

/** @returns null for what is no unit. */
function readUnit(text: string): Unit | null {
  const kept = known.get(text);
  if (kept !== undefined) return kept;
  // no unit is that long, and the library would take its time to say so
  const unit = text.length > LONGEST ? null : findUnit(text);
  known.set(text, unit);
  return unit;
}

function findUnit(text: string): Unit | null {
  const density = PER_ROOT_HERTZ.test(text);
  const base = text
    .replace(PER_ROOT_HERTZ, '')
    .replace(/[µμ]/g, 'u')
    .replace(/\bNs\b/g, 'N*s')
    .replace(/\b(k?)gf\b/g, '$1g*gee')
    .replace(/\b(oz|lb)f\b/g, '$1*gee')
    .replace(/\b([mu]?)g_n\b/g, '$1gee')
    .replace(/\bdps\b/g, 'deg/s')
    .replace(/°/g, 'deg')
    .replace(/\bK\b/g, 'degK')
    .replace(/\s*·\s*/g, '*')
    .replace(/²/g, '^2')
    .trim();
  if (base === '') return density ? null : { factor: 1, quantity: null, density };
  if (base.startsWith('temp')) return null; // the library's own names for temperatures above absolute zero
  // the library's degree is rounded in the sixteenth digit
  const degrees = /^deg\b/.test(base);
  const quantity = Qty.parse(`1 ${degrees ? base.replace(/^deg\b/, 'rad') : base}`);
  if (quantity === null) return null;
  const scalar = quantity.toBase().scalar;
  return { factor: degrees ? scalar * (Math.PI / 180) : scalar, quantity, density };
}

/** What `mg` and `ug/Hz^0.5` stand for where a mass cannot be meant. */
function gramsAsGravities(text: string): string {
  return text.replace(/[µμ]/g, 'u').replace(/\b([mu]?)g\b/g, '$1gee');
}

function sameDimension(a: Unit, b: Unit): boolean {
  if (a.density !== b.density) return false;
  return a.quantity === null || b.quantity === null ? a.quantity === b.quantity : a.quantity.isCompatible(b.quantity);
}

/** Division where the factor is one over a whole number: 57 % is 0.57, not 0.5700000000000001. */
function scale(value: number, factor: number): number {
  const inverse = Math.round(1 / factor);
  return inverse > 1 && 1 / inverse === factor ? value / inverse : value * factor;
}

/** What the unit of a text measures, for an error: `a mass`. */
function wordFor(unit: Unit, text: string): string {
  for (const [name, word] of Object.entries(WORDS)) {
    const other = readUnit(name);
    if (other !== null && sameDimension(other, unit)) return word;
  }
  return `a quantity in ${text}`;
}

/**
 * An SI number from a number (taken as SI) or a text with a unit.
 * @param unit SI unit expected, as the tables of inputs and rules print it; '' for a plain number
 * @param difference a temperature is a difference, so that Celsius is refused
 */
export function readQuantity(raw: unknown, unit: string, difference = false): Reading {
  if (typeof raw === 'number') return Number.isFinite(raw) ? { value: raw } : { problem: '' };
  if (typeof raw !== 'string') return { problem: '' };
  const match = TEXT.exec(raw.trim());
  if (match === null) return { problem: '' };
  const number = Number(match[1]);
  const text = (match[2] ?? '').trim();
  if (!Number.isFinite(number)) return { problem: '' };
  if (text.startsWith(',')) return { problem: 'a decimal comma' };
  if (text === '' || text === unit) return { value: number };
  const own = unit === 'K' ? SCALES.get(text) : undefined;
  if (own !== undefined) {
    return difference ? { problem: 'a difference of temperatures is in K' } : { value: (number + own.zero) * own.degree };
  }
  if (text === 'percent' || text === '%') return unit === '' ? { value: number / 100 } : { problem: 'a share' };
  const found = readUnit(unit.startsWith('m/s^2') ? gramsAsGravities(text) : text);
  if (found === null) return { problem: `"${text.length > LONGEST ? `${text.slice(0, LONGEST - 3)}...` : text}" is no known unit` };
  const wanted = readUnit(unit);
  if (wanted === null) throw new Error(`no unit ${unit}`);
  if (!sameDimension(found, wanted)) return { problem: `that is ${wordFor(found, text)}` };
  return { value: scale(number, found.factor) };
}

/** SI value of a number in some unit: `offset + factor * number`. */
export interface UnitScale {
  readonly factor: number;
  readonly offset: number;
}

/**
 * How numbers of a column become SI.
 * @param text a unit, or a quantity that one count stands for (`0.122 mg`)
 * @param unit SI unit expected
 */
export function unitScale(text: string, unit: string): UnitScale | { readonly problem: string } {
  const match = TEXT.exec(text.trim());
  const [count, name] = match === null ? ['1', text.trim()] : [match[1], match[2]];
  const one = readQuantity(`${count} ${name}`, unit);
  if ('problem' in one) return one;
  const zero = readQuantity(`0 ${name}`, unit);
  const offset = 'value' in zero ? zero.value : 0;
  return { factor: one.value - offset, offset };
}

/** The number before a percent sign, as a share (`3 %` is 0.03); undefined for anything else. */
export function readPercent(raw: unknown): number | undefined {
  const match = typeof raw === 'string' ? /^(.*?)\s*(?:%|percent)$/.exec(raw.trim()) : null;
  if (match === null) return undefined;
  const reading = readQuantity(match[1] ?? '', '');
  return 'value' in reading ? reading.value / 100 : undefined;
}
