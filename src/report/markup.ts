/** Text into HTML, safely, and the few shapes of markup the page and the card share. Knows no flight. */

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/** Any text, for use between tags or inside a quoted attribute. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (c) => ENTITIES[c]);
}

/** A value as JSON inside a script element: nothing in it can end the element. */
export function scriptJson(value: unknown): string {
  return JSON.stringify(value).replace(/[<>&\u2028\u2029]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
}

/** Code inside a script element as it is. @throws RangeError when it would end the element */
export function scriptCode(code: string): string {
  if (/<\/script|<!--/i.test(code)) throw new RangeError('this code cannot stand in a page');
  return code;
}

export interface TableColumn {
  readonly head: string;
  /** Numbers stand right, words left. */
  readonly align?: 'left' | 'right';
}

/**
 * A table of plain text, escaped here. The first cell of a row is its heading.
 * @param caption null: the heading above it says what it is   @param label what it is called where it cannot be seen
 */
export function htmlTable(
  caption: string | null,
  columns: readonly TableColumn[],
  rows: readonly (readonly string[])[],
  label: string,
): string {
  const side = (i: number): string => ((columns[i].align ?? (i === 0 ? 'left' : 'right')) === 'right' ? ' class="number"' : '');
  const heads = columns
    .map(({ head }, i) => (head === '' ? `<td${side(i)}></td>` : `<th scope="col"${side(i)}>${escaped(head)}</th>`))
    .join('');
  const body = rows
    .map((row) => {
      const cells = row.map((cell, i) => (i === 0 ? `<th scope="row">${escaped(cell)}</th>` : `<td${side(i)}>${escaped(cell)}</td>`));
      return `<tr>${cells.join('')}</tr>`;
    })
    .join('\n');
  return `<div class="table" tabindex="0" role="region" aria-label="${escaped(label)}"><table>${caption === null ? '' : `<caption>${escaped(caption)}</caption>`}
<thead><tr>${heads}</tr></thead>
<tbody>${body}</tbody></table></div>`;
}

export function paragraphs(lines: readonly string[]): string {
  return lines.map((line) => `<p>${escaped(line)}</p>`).join('\n');
}
