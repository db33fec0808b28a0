/** Tables, bars and headings as text. Computes nothing about flights. */
import { styleText } from 'node:util';
import Table from 'cli-table3';

const BLOCKS = '▁▂▃▄▅▆▇█';

/** @param rows of cells, the first of them the heads   @param left columns aligned left; the rest right */
export function table(heads: readonly string[], rows: readonly (readonly string[])[], left: readonly number[] = [0]): string {
  const none = '';
  const made = new Table({
    head: heads.map((h) => styleText('dim', h)),
    colAligns: heads.map((_, i) => (left.includes(i) ? 'left' : 'right')),
    style: { head: [], border: [], 'padding-left': 0, 'padding-right': 2 },
    chars: {
      top: none,
      'top-mid': none,
      'top-left': none,
      'top-right': none,
      bottom: none,
      'bottom-mid': none,
      'bottom-left': none,
      'bottom-right': none,
      left: none,
      'left-mid': none,
      mid: none,
      'mid-mid': none,
      right: none,
      'right-mid': none,
      middle: none,
    },
  });
  for (const row of rows) made.push([...row]);
  return made
    .toString()
    .split('\n')
    .map((line) => `  ${line.trimEnd()}`)
    .join('\n');
}

export function heading(text: string): string {
  return styleText('bold', text);
}

/**
 * Counts as a row of blocks, with a mark between two bins and a line of labels under it.
 * @param mark bins to the left of the mark
 */
export function blocks(counts: readonly number[], mark: number, labels: { left: string; mark: string; right: string }): string[] {
  const most = Math.max(1, ...counts);
  const block = (n: number): string => (n === 0 ? ' ' : BLOCKS[Math.min(BLOCKS.length - 1, Math.floor((n / most) * BLOCKS.length))]);
  const bars = counts.map(block).join('');
  const line = `${bars.slice(0, mark)}│${bars.slice(mark)}`;
  const under = `${labels.left.padEnd(mark)}│ ${labels.mark}`;
  return [`  ${line}`, `  ${under.padEnd(counts.length + 1 - labels.right.length)}${labels.right}`];
}

/** A bar of a share of `width` cells, in eighths. */
export function bar(share: number, width: number): string {
  const eighths = Math.round(Math.max(0, Math.min(1, share)) * width * 8);
  const full = '█'.repeat(Math.floor(eighths / 8));
  const rest = eighths % 8;
  return full + (rest === 0 ? '' : ' ▏▎▍▌▋▊▉'[rest]);
}
