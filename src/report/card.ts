/** The field card as a page to print and as plain text. */
import type { FieldCard } from '../analysis/card/fieldCard.ts';
import { PAGE_MARK } from '../results/mark.ts';
import { type CardSection, type CardTable, cardOrigin, cardSections } from './cardContent.ts';
import { escaped, htmlTable, paragraphs } from './markup.ts';
import { PAGE_STYLE } from './pageStyle.ts';

const CARD_STYLE = `
main { columns: 2 24rem; column-gap: 2.4rem; }
section { break-inside: avoid; margin-bottom: 1rem; }
.wide { column-span: all; }
h2 { font-size: 1.05rem; margin: 0 0 0.2rem; padding-top: 0.35rem; }
.checks { list-style: none; padding: 0; margin: 0.3rem 0; }
.checks li { padding-left: 1.6rem; text-indent: -1.6rem; margin: 0.2rem 0; }
.checks li::before { content: '☐'; display: inline-block; width: 1.6rem; text-indent: 0; }
.answer { font-size: 1.35rem; }
@media print {
  @page { margin: 10mm; }
  :root { font-size: 8.6pt; }
  body { font-size: 1rem; line-height: 1.28; }
  p { margin: 0.1rem 0 0.25rem; max-width: none; }
  main { columns: 2; column-gap: 6mm; }
  .answer { font-size: 13pt; }
  h2 { margin: 0; font-size: 10pt; padding-top: 0.15rem; border-top-width: 1px; }
  th, td { padding: 0.05rem 0.6rem 0.05rem 0; }
  table { font-size: 8.2pt; }
  .table { margin: 0.3rem 0; }
  section { margin-bottom: 0.4rem; }
}
`;

/** @param least success wanted of a band; null: bands are not judged */
export function cardPage(card: FieldCard, least: number | null): string {
  const [head, ...sections] = cardSections(card, least);
  const [answer, ...rest] = head.lines;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${PAGE_MARK}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escaped(card.title)}: field card</title>
<style>${PAGE_STYLE}${CARD_STYLE}</style>
</head>
<body>
<header><h1>${escaped(card.title)}: field card</h1>
<p class="answer">${escaped(answer)}</p>
${paragraphs(rest)}</header>
<main>
${sections.map(sectionMarkup).join('\n')}
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
${table === null ? '' : htmlTable(table.caption, columns(table), table.rows, `${heading}: ${table.caption}`)}${list}</section>`;
}

/** The same as plain text. */
export function cardText(card: FieldCard, least: number | null): string {
  const sections = cardSections(card, least).map(({ heading, lines, table, checks }) =>
    [
      heading.toUpperCase(),
      ...lines.map((line) => `  ${line}`),
      ...(table === null ? [] : tableLines(table)),
      ...checks.map((line) => `  [ ] ${line}`),
    ].join('\n'),
  );
  return `${[`${card.title}: field card`, ...sections, cardOrigin(card)].join('\n\n')}\n`;
}

function tableLines({ caption, heads, rows }: CardTable): string[] {
  const all = [heads, ...rows];
  const widths = heads.map((_, i) => Math.max(...all.map((row) => row[i].length)));
  const left = heads.map((head, i) => i === 0 || head === 'meaning' || head === 'unit' || head === 'verdict');
  const line = (row: readonly string[]): string =>
    `    ${row.map((cell, i) => (left[i] ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  ')}`.trimEnd();
  return [...all.map(line), `    ${caption}`];
}
