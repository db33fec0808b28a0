/** A small plot of points in characters, for a terminal. Computes nothing but places. */
import { plain } from '../report/words.ts';

export interface Series {
  readonly mark: string;
  readonly label: string;
  readonly points: readonly (readonly [number, number])[];
}

const WIDTH = 56;
const HEIGHT = 12;

/** Lines of text; a place where two series meet shows the later. @throws RangeError without points */
export function scatterPlot(series: readonly Series[], axes: { readonly x: string; readonly y: string }): string[] {
  const points = series.flatMap((s) => s.points);
  if (points.length === 0) throw new RangeError('a plot needs points');
  const [left, right] = range(points.map(([x]) => x));
  const [bottom, top] = range(points.map(([, y]) => y));
  const cells = Array.from({ length: HEIGHT }, () => new Array<string>(WIDTH).fill(' '));
  const place = (value: number, low: number, high: number, size: number): number => Math.round(((value - low) / (high - low)) * (size - 1));
  for (const { mark, points: own } of series) {
    for (const [x, y] of own) cells[HEIGHT - 1 - place(y, bottom, top, HEIGHT)][place(x, left, right, WIDTH)] = mark;
  }
  const labels = cells.map((_, i) => (i === 0 ? plain(top) : i === HEIGHT - 1 ? plain(bottom) : ''));
  const margin = Math.max(...labels.map((label) => label.length));
  const legend = series.map(({ mark, label }) => `${mark} ${label}`).join('   ');
  return [
    `  ${axes.y}   ${legend}`,
    ...cells.map((row, i) => `  ${labels[i].padStart(margin)} │${row.join('').trimEnd()}`),
    `  ${''.padStart(margin)} └${'─'.repeat(WIDTH)}`,
    `  ${''.padStart(margin)}  ${plain(left)}${axes.x.padStart(WIDTH / 2).padEnd(WIDTH - plain(left).length - plain(right).length)}${plain(right)}`,
  ];
}

function range(values: readonly number[]): [number, number] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return high > low ? [low, high] : [low - 0.5, high + 0.5];
}
