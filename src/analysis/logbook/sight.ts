/**
 * What a builder writes of something seen (`61 m ± 1 m`, `between 5 m and 8 m`, `landed`, `never`), read as a sight in
 * SI. Knows no logbook and no flight.
 */
import { OUTCOMES, type OutputRow } from '../../flight/outputs.ts';
import { suggestion } from '../../maths/nearest.ts';
import { display, show } from '../../study/fields.ts';
import { dimensionWord, exampleOf, readQuantity } from '../../study/units.ts';
import type { Sight } from './logbook.ts';

/** A sight, nothing seen, or what is wrong. */
export type SightRead = { readonly sight: Sight } | { readonly notSeen: true } | { readonly problem: string };

const PLUS_MINUS = /\s*(?:±|\+\/-|\+-)\s*/;
const BETWEEN = /^between\s+(.+?)\s+and\s+(.+)$/i;
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;
const WORDS_OF_NONE = ['never', 'none', 'did not happen'];

/** Outputs that may be below 0; all others count something, or measure a size. */
const SIGNED: ReadonlySet<string> = new Set([
  'landingEast',
  'landingNorth',
  'believedApogee',
  'ascentBurnoutHeight',
  'ignitionHeight',
  'believedIgnitionHeight',
  'ignitionSpeed',
  'believedIgnitionSpeed',
  'ignitionHeightError',
  'ignitionSpeedError',
  'thrustHeight',
  'landingBurnoutHeight',
  'slowestSink',
]);

/** Greatest size that can be, by unit: of a flight of a model rocket. */
const MOST: Readonly<Record<string, number>> = {
  m: 10_000,
  s: 3600,
  'm/s': 1000,
  'm/s^2': 10_000,
  rad: Math.PI,
  'rad/s': 1000,
  'N s': 10_000,
};

/** Bounds of what an output can be, SI. */
function boundsOf({ key, unit, type }: OutputRow): { readonly low: number; readonly high: number } {
  const high = unit === '' && type === 'number' ? 1 : (MOST[unit] ?? 1e6);
  return { low: SIGNED.has(key) ? -high : 0, high };
}

/** Something seen of an output. */
export function readOutput(raw: unknown, row: OutputRow): SightRead {
  if (raw === 'not seen') return { notSeen: true };
  if (row.type === 'outcome') return readOutcome(raw);
  if (typeof raw === 'string' && WORDS_OF_NONE.includes(raw)) return { sight: { kind: 'never' } };
  if (row.type === 'yesNo') return readYesNo(raw);
  if (row.type === 'count' && typeof raw === 'number') {
    if (Number.isSafeInteger(raw) && raw >= 0) return { sight: { kind: 'exactly', value: raw } };
    return { problem: `read ${show(raw)}; expected a whole number of at least 0, or "not seen". Count again.` };
  }
  return readMeasured(raw, row.unit, boundsOf(row));
}

function readOutcome(raw: unknown): SightRead {
  const words: readonly unknown[] = OUTCOMES.slice(1);
  const place = words.indexOf(raw);
  if (place >= 0) return { sight: { kind: 'exactly', value: place + 1 } };
  const near = typeof raw === 'string' ? suggestion(raw, OUTCOMES.slice(1)) : '';
  return { problem: `read ${show(raw)}; expected "not seen" or one of ${words.join(', ')}.${near}` };
}

function readYesNo(raw: unknown): SightRead {
  if (raw === true || raw === 'yes' || raw === 'on') return { sight: { kind: 'exactly', value: 1 } };
  if (raw === false || raw === 'no' || raw === 'off') return { sight: { kind: 'exactly', value: 0 } };
  return { problem: `read ${show(raw)}; expected yes, no or "not seen". Write one of them.` };
}

/**
 * A number with its error, or two ends.
 * @param bounds what it can be, SI, both inclusive
 */
export function readMeasured(raw: unknown, unit: string, bounds: { readonly low: number; readonly high: number }): SightRead {
  const example = `${exampleOf(unit)} ± ${exampleOf(unit).replace(/^[\d.]+/, '0.5')}`;
  const expected = `expected ${dimensionWord(unit)} as value ± error, such as ${example}`;
  const wrong = (text: string): { readonly problem: string } => ({ problem: `read ${show(raw)}${text}` });
  if (typeof raw !== 'string') return wrong(`; ${expected}. Add how far off it may be.`);
  const between = BETWEEN.exec(raw.trim());
  if (between !== null) {
    const [low, high] = [readQuantity(between[1], unit), readQuantity(between[2], unit)];
    if ('problem' in low || 'problem' in high) return wrong(`; expected between A and B, each ${dimensionWord(unit)}. Write both units.`);
    if (!(low.value < high.value)) return wrong('; expected the smaller end first. Swap the two.');
    if (low.value > bounds.high || high.value < bounds.low) return wrong(`; ${beyond(unit, bounds)}`);
    return { sight: { kind: 'within', low: low.value, high: high.value } };
  }
  const parts = raw.trim().split(PLUS_MINUS);
  if (parts.length !== 2) return wrong(`; ${expected}. Add how far off it may be, or write "not seen".`);
  const [first, second] = parts;
  const given = NUMBER.test(second) ? null : second.replace(/^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?\s*/i, '');
  // 61 ± 1 m: the unit stands for both
  const value = readQuantity(NUMBER.test(first) && given !== null && given !== '%' ? `${first} ${given}` : first, unit);
  if ('problem' in value) return wrong(`${value.problem === '' ? '' : ` (${value.problem})`}; ${expected}. Mend the value.`);
  const share = given === '%' && unit !== '' ? Number.parseFloat(second) / 100 : null;
  const error = share === null ? readQuantity(second, unit, true) : { value: Math.abs(share * value.value) };
  if ('problem' in error) return wrong(`${error.problem === '' ? '' : ` (${error.problem})`}; ${expected}. Mend the error.`);
  if (!(error.value > 0)) return wrong('; expected an error above 0: nothing is measured exactly. Say how far off it may be.');
  if (value.value < bounds.low || value.value > bounds.high) return wrong(`; ${beyond(unit, bounds)}`);
  return { sight: { kind: 'value', value: value.value, error: error.value } };
}

function beyond(unit: string, { low, high }: { readonly low: number; readonly high: number }): string {
  return `expected ${dimensionWord(unit)} that can be, from ${display(low, unit)} to ${display(high, unit)}. Check value and unit.`;
}
