/**
 * Numbers as people read them: rounded by their uncertainty, in the units of the trade. Knows no terminal and no page.
 */

const DEG = 180 / Math.PI;

/** Decimals so that the last digit is about a tenth of the uncertainty. @param half > 0, in the printed unit */
export function decimalsFor(half: number): number {
  if (!(half > 0) || !Number.isFinite(half)) return 2;
  return Math.min(6, Math.max(0, Math.floor(1.5 - Math.log10(half))));
}

/** "38.7 %", with the digits its interval carries. */
export function percent(share: number, interval: readonly [number, number] | null): string {
  return `${(100 * share).toFixed(percentDecimals(interval))} %`;
}

/** "37.7 to 39.6 %". */
export function percentInterval(interval: readonly [number, number]): string {
  const d = percentDecimals(interval);
  return `${(100 * interval[0]).toFixed(d)} to ${(100 * interval[1]).toFixed(d)} %`;
}

function percentDecimals(interval: readonly [number, number] | null): number {
  return interval === null ? 1 : decimalsFor(50 * (interval[1] - interval[0]));
}

/** "2.67 (2.63 to 2.71)"; "too few" for a quantile of flights too few to have an interval: no number without one. */
export function withInterval(value: number, interval: readonly [number, number] | null): string {
  if (interval === null) return 'too few';
  const d = decimalsFor((interval[1] - interval[0]) / 2);
  return `${rounded(value, d)} (${rounded(interval[0], d)} to ${rounded(interval[1], d)})`;
}

/** Fixed decimals, without the minus of a number that rounds to 0. */
export function rounded(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text;
}

/** Three significant digits, no exponent where a person would not write one. */
export function plain(value: number): string {
  if (value === 0) return '0';
  const size = Math.floor(Math.log10(Math.abs(value)));
  if (size >= 6 || size < -4) return value.toExponential(2);
  return value.toFixed(Math.max(0, 2 - size));
}

/** "10,000"; at most three decimals. By hand, since an engine's own way first loads its languages: 30 ms of every run. */
export function count(n: number): string {
  const [whole, part] = String(Math.round(n * 1000) / 1000).split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',');
  return part === undefined ? grouped : `${grouped}.${part}`;
}

/** How a quantity with this SI unit is shown: the unit people use, as they write it, and the factor to it. */
export function shown(unit: string): { readonly unit: string; readonly factor: number } {
  const turned = /^rad(?=$|\/)/.test(unit);
  return { unit: unitWords(turned ? unit.replace('rad', 'deg') : unit), factor: turned ? DEG : 1 };
}

/** "m/s²", "m/s²/√Hz" of the units that files write "m/s^2" and "m/s^2/Hz^0.5". */
export function unitWords(unit: string): string {
  return unit
    .replace(/Hz\^0\.5/, '√Hz')
    .replace('^2', '²')
    .replace('^3', '³');
}

/** "1 min 20 s", "8.2 s". */
export function duration(seconds: number): string {
  if (seconds < 59.5) return `${seconds.toFixed(seconds < 9.95 ? 1 : 0)} s`;
  // Rounded before it is parted, so that no part reaches 60.
  const whole = Math.round(seconds);
  if (whole < 3600) return `${Math.floor(whole / 60)} min ${whole % 60} s`;
  const minutes = Math.round(whole / 60);
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
