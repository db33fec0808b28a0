/** The field card as a page to print and as plain text. */

import type { FieldCard } from '../analysis/card/fieldCard.ts';
import { type CardSection, type CardTable, cardHead, cardOrigin, cardSections } from './cardContent.ts';
import { documentHead } from './documentHead.ts';
import { escaped, htmlTable, paragraphs } from './markup.ts';

const CARD_STYLE = `
.columns { columns: 2 24rem; column-gap: 2.4rem; }
section { break-inside: avoid; margin-bottom: 1rem; }
.wide { column-span: all; }
h2 { font-size: 1.05rem; margin: 0 0 0.2rem; padding-top: 0.35rem; }
.checks { list-style: none; padding: 0; margin: 0.3rem 0; }
.checks li { padding-left: 1.6rem; text-indent: -1.6rem; margin: 0.2rem 0; }
.checks li::before { content: '☐'; display: inline-block; width: 1.6rem; text-indent: 0; }
.answer { font-size: 1.35rem; }
.verdict { border: 2px solid var(--ink); padding: 0.3rem 0.7rem; width: fit-content; font-weight: 600; }
tbody td:not(.number) { min-width: 0; overflow-wrap: normal; }
.columns table, .blanks { width: calc(100% - 1px); }
thead th { white-space: normal; }
.blanks td, .blanks th { border: 1px solid var(--faint); padding: 0.1rem 0.4rem; height: 1.9rem; min-width: 0; }
.blanks thead th { height: auto; }
@media print {
  @page { margin: 10mm; }
  :root { font-size: 8.5pt; }
  /* The table to fill in takes what is left of the sheet. */
  body { font-size: 1rem; line-height: 1.3; display: flex; flex-direction: column; height: 98vh; }
  p { margin: 0.1rem 0 0.25rem; max-width: none; }
  header, footer { width: 100%; margin: 0; }
  main { flex: 1; display: flex; flex-direction: column; width: 100%; margin: 0; }
  .columns { columns: 2; column-gap: 6mm; }
  .answer { font-size: 13pt; }
  h2 { margin: 0; font-size: 10pt; padding-top: 0.15rem; border-top-width: 1px; }
  th, td { padding: 0.05rem 0.6rem 0.05rem 0; }
  table { font-size: 8.2pt; }
  .table { margin: 0.3rem 0; }
  section { margin-bottom: 0.5rem; }
  .log { flex: 1; display: flex; flex-direction: column; margin: 0; }
  .log .table { flex: 1; display: flex; margin-bottom: 0; }
  .blanks { flex: 1; height: 100%; }
  .blanks td { height: 4.4mm; }
  .blanks thead th { height: 1px; }
  footer { padding: 0.3rem 0 0; }
}
`;

/** Rows to fill in: on the page, and in the text. */
const BLANK_ROWS = 5;
const BLANK_LINES = 3;

/** @param least success wanted; null: nothing is judged */
export function cardPage(card: FieldCard, least: number | null): string {
  const { answer, verdict, lines } = cardHead(card, least);
  const sections = cardSections(card, least);
  const inColumns = sections.filter(({ blanks }) => blanks === undefined);
  const log = sections.flatMap(({ heading, blanks }) => (blanks === undefined ? [] : [blanksMarkup(heading, blanks)]));
  return `${documentHead(`${card.title}: field card`, { style: CARD_STYLE })}<body>
<header><h1>${escaped(card.title)}: field card</h1>
<p class="answer">${escaped(answer)}</p>
${verdict === null ? '' : `<p class="verdict">${escaped(verdict)}</p>\n`}${paragraphs(lines)}</header>
<main>
<div class="columns">${inColumns.map(sectionMarkup).join('\n')}</div>
${log.join('\n')}
</main>
<footer class="note"><p>${escaped(cardOrigin(card))}</p></footer>
</body>
</html>
`;
}

function sectionMarkup({ heading, lines, table, checks, wide }: CardSection): string {
  // Words stand left, numbers right: the last column of constants is words.
  const columns = (t: CardTable): { head: string; align: 'left' | 'right' }[] =>
    t.heads.map((head, i) => ({ head, align: i === 0 || head === 'meaning' || head === 'unit' || head === 'verdict' ? 'left' : 'right' }));
  const list = checks.length === 0 ? '' : `<ul class="checks">${checks.map((line) => `<li>${escaped(line)}</li>`).join('')}</ul>`;
  return `<section${wide ? ' class="wide"' : ''}><h2>${escaped(heading)}</h2>
${paragraphs(lines)}
${table === null ? '' : htmlTable(table.caption, columns(table), table.rows, table.caption === null ? heading : `${heading}: ${table.caption}`)}${list}</section>`;
}

/** A table to fill in with a pen. */
function blanksMarkup(heading: string, heads: readonly string[]): string {
  const row = `<tr>${'<td></td>'.repeat(heads.length)}</tr>`;
  return `<section class="log"><h2>${escaped(heading)}</h2>
<div class="table" tabindex="0" role="region" aria-label="${escaped(heading)}"><table class="blanks">
<thead><tr>${heads.map((head) => `<th scope="col">${escaped(head)}</th>`).join('')}</tr></thead>
<tbody>${row.repeat(BLANK_ROWS)}</tbody></table></div></section>`;
}

/** The same as plain text. */
export function cardText(card: FieldCard, least: number | null): string {
  const { answer, verdict, lines: counts } = cardHead(card, least);
  const head = ['WHAT THE FLIGHTS SAY', ...[answer, ...(verdict === null ? [] : [verdict]), ...counts].map((line) => `  ${line}`)].join(
    '\n',
  );
  const sections = cardSections(card, least).map(({ heading, lines, table, checks, blanks }) =>
    [
      heading.toUpperCase(),
      ...lines.map((line) => `  ${line}`),
      ...(table === null ? [] : tableLines(table)),
      ...checks.map((line) => `  [ ] ${line}`),
      ...(blanks === undefined ? [] : blankLines(blanks)),
    ].join('\n'),
  );
  return `${[`${card.title}: field card`, head, ...sections, cardOrigin(card)].join('\n\n')}\n`;
}

function tableLines({ caption, heads, rows }: CardTable): string[] {
  const all = [heads, ...rows];
  const widths = heads.map((_, i) => Math.max(...all.map((row) => row[i].length)));
  const left = heads.map((head, i) => i === 0 || head === 'meaning' || head === 'unit' || head === 'verdict');
  const line = (row: readonly string[]): string =>
    `    ${row.map((cell, i) => (left[i] ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  ')}`.trimEnd();
  return [...all.map(line), ...(caption === null ? [] : [`    ${caption}`])];
}

function blankLines(heads: readonly string[]): string[] {
  const widths = heads.map((head) => Math.max(head.length, 6));
  const line = (cells: readonly string[]): string => `    ${cells.map((cell, i) => cell.padEnd(widths[i])).join('  ')}`.trimEnd();
  return [line(heads), ...new Array<string>(BLANK_LINES).fill(line(widths.map((width) => '_'.repeat(width))))];
}
