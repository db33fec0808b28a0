/**
 * Cells of one line of a recording and the numbers in them, fast: recordings have millions. Knows no columns.
 */

/** What parts two cells. A space stands for any run of them. */
export type Separator = ',' | ';' | '\t' | ' ';

/** Where the cells of a line lie in the text, without blanks and quotes around them; made once, filled line by line. */
export class Cells {
  count = 0;
  starts: Int32Array = new Int32Array(16);
  ends: Int32Array = new Int32Array(16);

  private push(start: number, end: number): void {
    if (this.count === this.starts.length) {
      const starts = new Int32Array(2 * this.count);
      const ends = new Int32Array(2 * this.count);
      starts.set(this.starts);
      ends.set(this.ends);
      this.starts = starts;
      this.ends = ends;
    }
    this.starts[this.count] = start;
    this.ends[this.count] = end;
    this.count++;
  }

  /** Takes the line from `from` up to `to` of the text apart. */
  split(text: string, from: number, to: number, separator: Separator): void {
    this.count = 0;
    const part = separator.charCodeAt(0);
    let i = from;
    for (;;) {
      while (i < to && isBlank(text.charCodeAt(i)) && text.charCodeAt(i) !== TAB_PART[part]) i++;
      if (separator === ' ' && i >= to) return;
      if (i < to && text.charCodeAt(i) === QUOTE) {
        const close = text.indexOf('"', i + 1);
        const end = close < 0 || close > to ? to : close;
        this.push(i + 1, end);
        i = end + 1;
        while (i < to && !partsHere(text.charCodeAt(i), part)) i++;
      } else {
        const start = i;
        while (i < to && !partsHere(text.charCodeAt(i), part)) i++;
        let end = i;
        while (end > start && isBlank(text.charCodeAt(end - 1))) end--;
        this.push(start, end);
      }
      if (i >= to) return;
      i++;
    }
  }
}

const TAB = 9;
const SPACE = 32;
const QUOTE = 34;
/** A tab is a blank unless it parts the cells. */
const TAB_PART: Readonly<Record<number, number>> = { [TAB]: TAB };

function isBlank(c: number): boolean {
  return c === SPACE || c === TAB;
}

function partsHere(c: number, part: number): boolean {
  return c === part || (part === SPACE && c === TAB);
}

const ZERO = 48;
const POINT = 46;
const COMMA = 44;
/** Up to 10^22 a power of ten is a double exactly, so that one division or product rounds once. */
const POWERS = Array.from({ length: 23 }, (_, k) => 10 ** k);
const LARGEST_EXACT = 2 ** 53;

/**
 * The number that a cell holds, correctly rounded; NaN for anything else, an empty cell too.
 * @param comma commas are decimal marks, and points are not
 */
export function cellNumber(text: string, start: number, end: number, comma: boolean): number {
  let i = start;
  const sign = text.charCodeAt(i);
  const negative = sign === 45;
  if (negative || sign === 43) i++;
  const mark = comma ? COMMA : POINT;
  let mantissa = 0;
  let digits = 0;
  let decimals = -1;
  for (; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c >= ZERO && c <= ZERO + 9) {
      mantissa = mantissa * 10 + (c - ZERO);
      digits++;
      if (decimals >= 0) decimals++;
    } else if (c === mark && decimals < 0) decimals = 0;
    else break;
  }
  if (digits === 0) return Number.NaN;
  const places = Math.max(0, decimals);
  if (i === end && mantissa < LARGEST_EXACT && places < POWERS.length) {
    const value = places === 0 ? mantissa : mantissa / POWERS[places];
    return negative ? -value : value;
  }
  const whole = text.slice(start, end);
  return NUMBER.test(whole) && whole.includes(comma ? '.' : ',') === false ? Number(comma ? whole.replace(',', '.') : whole) : Number.NaN;
}

const NUMBER = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?$/;

/** Whether a cell reads as a number with a point or with a comma: what a head does not. */
export function looksNumeric(text: string): boolean {
  return NUMBER.test(text);
}
