/**
 * What a sweep goes over, read from `PATH=LOW..HIGH` or `PATH=A,B,C`: the values as a study would say them. Opens no
 * study.
 */
import { UserError } from '../../errors.ts';

export interface SweepAxis {
  /** Place of the study, as after --set. */
  readonly path: string;
  /** As they were written; '' for plain numbers and for words. */
  readonly unit: string;
  readonly values: readonly SweepValue[];
  /**
   * Of an input that varies: `kept`, moved with its spread to lie about each value; `held` at each, without its spread.
   * null for what does not vary.
   */
  readonly spread: 'kept' | 'held' | null;
}

export interface SweepValue {
  /** As a study would say it: `0.85 kg`, `b.csv`. */
  readonly text: string;
  /** In the axis's unit; null for words. */
  readonly number: number | null;
}

const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?`;
const RANGE = new RegExp(String.raw`^\s*(${NUMBER})\s*(.*?)\s*\.\.\s*(${NUMBER})\s*(.*?)\s*$`, 'i');
const VALUE = new RegExp(String.raw`^(${NUMBER})\s*([^\d.].*|)$`, 'i');
/** Digits of a value between the ends: as many as a person could ever mean. */
const DIGITS = 6;

/**
 * @param steps values of a range, both ends among them; at least 2
 * @throws UserError for what is neither a range nor a list of two values or more
 */
export function readAxis(text: string, steps: number): SweepAxis {
  const split = text.indexOf('=');
  const complaint = (what: string): UserError =>
    new UserError(
      `--over ${text}: ${what}; expected PATH=LOW..HIGH or PATH=A,B,... Write, for example, --over airframe.mass=0.85..1.05kg or --over landing.curve=a.csv,b.csv`,
    );
  if (split < 1) throw complaint('read no path and values');
  const path = text.slice(0, split).trim();
  const range = RANGE.exec(text.slice(split + 1));
  if (range !== null) {
    const [, from, fromUnit, to, unit] = range;
    if (fromUnit !== '' && fromUnit !== unit) throw complaint(`read the units "${fromUnit}" and "${unit}"`);
    const [low, high] = [Number(from), Number(to)];
    if (!(low < high)) throw complaint('read a range whose end is not above its start');
    const values = Array.from({ length: steps }, (_, i) => low + ((high - low) * i) / (steps - 1));
    return { path, unit, spread: null, values: values.map((value) => valueFrom(Number(value.toPrecision(DIGITS)), unit)) };
  }
  const parts = text
    .slice(split + 1)
    .split(',')
    .map((part) => part.trim());
  if (parts.length < 2 || parts.includes('')) throw complaint('read fewer than two values');
  const numbers = parts.map((part) => VALUE.exec(part));
  const unit = numbers[numbers.length - 1]?.[2] ?? '';
  // Numbers take the unit of the last; anything else is words.
  const plain = numbers.every((found) => found !== null && (found[2] === '' || found[2] === unit));
  const values = plain
    ? numbers.map((found) => valueFrom(Number(found?.[1]), unit))
    : parts.map((part): SweepValue => ({ text: part, number: null }));
  const twice = values.find(({ text: value }, i) => values.findIndex((other) => other.text === value) !== i);
  if (twice !== undefined) throw complaint(`read ${twice.text} twice`);
  return { path, unit: plain ? unit : '', values, spread: null };
}

function valueFrom(number: number, unit: string): SweepValue {
  return { text: unit === '' ? String(number) : `${number} ${unit}`, number };
}

/** Every choice of one value from each axis, the last axis running first. */
export function everyChoice(axes: readonly SweepAxis[]): readonly (readonly SweepValue[])[] {
  return axes.reduce<readonly (readonly SweepValue[])[]>(
    (all, { values }) => all.flatMap((one) => values.map((value) => [...one, value])),
    [[]],
  );
}
