/** Lines of YAML to paste into a study, from what was measured. Decides nothing. */
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { display } from '../../study/fields.ts';
import type { ThrustCurve } from '../../study/study.ts';
import type { MeasuredInput } from './measurement.ts';

/** Digits of a number in the block: more than any recording tells. */
const DIGITS = 4;

const digits = (x: number): number => Number(x.toPrecision(DIGITS));

/** A number with its unit: angles in degrees. */
export function written(value: number, unit: string): string {
  if (unit !== 'rad' && unit !== 'rad/s') return display(digits(value), unit);
  return `${digits((value * 180) / Math.PI)} ${unit.replace('rad', 'deg')}`;
}

/** `inputs:` and its lines, or nothing: a heading over nothing but remarks is one itself. */
export function inputsSection(lines: readonly string[]): readonly string[] {
  if (lines.length === 0) return [];
  return [lines.every((line) => line.startsWith('#')) ? '# inputs:' : 'inputs:', ...lines.map((line) => `  ${line}`)];
}

/** A spread: in per cent where the input is a plain number. */
function spread(value: number, unit: string): string {
  return unit === '' ? `${digits(100 * value)} %` : written(value, unit);
}

/** `{ student: { scale: 1.8 %, freedom: 4 } }`; a mean that is the input's nominal one is left out. */
function distributionText(d: Distribution, key: InputKey): string {
  const { unit, nominal } = CATALOGUE[inputIndex(key)];
  const mean = (value: number): string => (value === nominal ? '' : `mean: ${written(value, unit)}, `);
  const v = (x: number): string => written(x, unit);
  switch (d.kind) {
    case 'fixed':
      return v(d.value);
    case 'normal':
      return `{ normal: { ${mean(d.mean)}sd: ${spread(d.sd, unit)} } }`;
    case 'student':
      return `{ student: { ${mean(d.mean)}scale: ${spread(d.scale, unit)}, freedom: ${digits(d.freedom)} } }`;
    case 'truncatedNormal':
      return `{ truncatedNormal: { ${mean(d.mean)}sd: ${spread(d.sd, unit)}, low: ${v(d.low)}, high: ${v(d.high)} } }`;
    case 'lognormal':
      return `{ lognormal: { median: ${v(d.median)}, logSd: ${digits(d.logSd)} } }`;
    case 'uniform':
      return `{ uniform: { low: ${v(d.low)}, high: ${v(d.high)} } }`;
    case 'triangular':
      return `{ triangular: { low: ${v(d.low)}, mode: ${v(d.mode)}, high: ${v(d.high)} } }`;
    case 'beta':
      return `{ beta: { alpha: ${digits(d.alpha)}, beta: ${digits(d.beta)}, low: ${v(d.low)}, high: ${v(d.high)} } }`;
    case 'discrete':
      return `{ discrete: { values: [${d.values.map(v).join(', ')}], weights: [${d.weights.map(digits).join(', ')}] } }`;
    case 'chance':
      return `{ chance: ${digits(100 * d.probability)} % }`;
    case 'measured': {
      const bandwidth = d.as === 'smooth' ? `, bandwidth: ${v(d.bandwidth)}` : '';
      return `{ measured: { values: [${d.values.map(v).join(', ')}], as: ${d.as}${bandwidth} } }`;
    }
  }
}

/** One line of `inputs:`, without its indent. */
export function inputLine({ key, distribution, note }: MeasuredInput): string {
  return `${key}: ${distributionText(distribution, key)}${note === '' ? '' : ` # ${note}`}`;
}

/** Points of a curve on lines of moderate length, without indent. */
export function curveLines({ time, thrust }: ThrustCurve): readonly string[] {
  const points = time.map((t, i) => `[${digits(t)}, ${digits(thrust[i])}]`);
  const lines: string[] = [];
  let line = 'curve: [';
  for (const [i, point] of points.entries()) {
    const text = `${point}${i < points.length - 1 ? ', ' : ']'}`;
    if (line.length + text.length > 110) {
      lines.push(line.trimEnd());
      line = '    ';
    }
    line += text;
  }
  return [...lines, line];
}
