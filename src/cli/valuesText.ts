/** A measured list as text for a terminal. Computes nothing but bars. */
import type { Estimate, Fit, ValuesMeasurement } from '../analysis/measure/measurement.ts';
import { plain, shown, withInterval } from '../report/words.ts';
import { measuredText } from './measuredText.ts';
import { bar, heading, table } from './terminal.ts';

const BINS = 12;
const WIDTH = 40;

export function valuesText(m: ValuesMeasurement): string {
  const { unit, factor } = m.chosen === 'chance' ? { unit: '', factor: 1 } : shown(m.unit);
  const inUnit = (e: Estimate): string => `${estimate(e, factor)}${unit === '' ? '' : ` ${unit}`}`;
  return measuredText(m, [
    heading(`${m.values.length} values`),
    `  mean ${inUnit(m.mean)}${m.sd === null ? '' : `, standard deviation ${inUnit(m.sd)}`}`,
    ...(m.chosen === 'chance' ? [] : histogramLines(m.values, factor)),
    ...(m.fits.length === 0
      ? []
      : [
          '',
          heading('Shapes held against them'),
          table(
            ['shape', 'fitted', 'chance of so far', 'criterion', ''],
            m.fits.map((fit) => fitRow(fit, factor, m.chosen)),
            [0, 1, 4],
          ),
        ]),
  ]);
}

function fitRow({ kind, numbers, chance, refused, criterion }: Fit, factor: number, chosen: string): string[] {
  const least = numbers.map((n) => `${n.name} ${estimate(n, n.name === 'logSd' ? 1 : factor)}`).join(', ');
  return [kind, least, chance.toFixed(3), criterion.toFixed(1), refused ? 'refused' : kind === chosen ? 'taken' : ''];
}

function estimate({ value, interval }: Estimate, factor: number): string {
  return interval === null ? plain(factor * value) : withInterval(factor * value, [factor * interval[0], factor * interval[1]]);
}

function histogramLines(values: readonly number[], factor: number): string[] {
  const [low, high] = [values[0], values[values.length - 1]];
  const counts = new Array<number>(BINS).fill(0);
  for (const v of values) counts[Math.min(BINS - 1, Math.floor((BINS * (v - low)) / (high - low)))]++;
  const most = Math.max(...counts);
  return counts.map((n, i) => {
    const from = plain(factor * (low + (i * (high - low)) / BINS));
    return `  ${from.padStart(10)} ${bar(n / most, WIDTH)}${n === 0 ? '' : ` ${n}`}`;
  });
}
