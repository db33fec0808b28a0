/**
 * Markup as lines, so that a change of a picture can be read in its snapshot. Renew all with `npx vitest run --config
 * tests/vitest.config.ts tests/report/pictures -u`.
 */
import { expect } from 'vitest';
import { type Figure, figureMarkup } from '../../../src/report/figure.ts';

/** One element a line, indented by depth; elements that hold only words stay on one line. */
function readable(markup: string): string {
  let depth = 0;
  const lines = markup
    .replace(/>\s*</g, '>\n<')
    .split('\n')
    .map((line) => {
      const closed = line.match(/<\//g)?.length ?? 0;
      const opened = line.match(/<[a-z][^>]*[^/]>|<[a-z]>/g)?.filter((tag) => !/^<(input|meta|br)\b/.test(tag)).length ?? 0;
      if (line.startsWith('</')) depth--;
      const text = `${' '.repeat(Math.max(0, depth))}${line}`;
      depth += opened - closed + (line.startsWith('</') ? 1 : 0);
      return text;
    });
  return `${lines.join('\n')}\n`;
}

/** A picture, or a section of the page, against the file kept beside the tests. */
export async function expectKept(name: string, made: Figure | string | null): Promise<void> {
  if (made === null) throw new Error(`${name}: nothing was drawn`);
  const markup = typeof made === 'string' ? made : figureMarkup(made);
  expect(markup).not.toMatch(/NaN|undefined|Infinity/);
  await expect(readable(markup)).toMatchFileSnapshot(`kept/${name}.svg.txt`);
}
