/**
 * The frame of a page that stands by itself, beside no flights: one self-contained HTML text, without a script. Knows
 * not what is on it.
 */
import { PAGE_MARK } from '../results/mark.ts';
import { CAUTIONS } from './cautions.ts';
import { escaped, paragraphs } from './markup.ts';
import { PAGE_STYLE } from './pageStyle.ts';

export interface OwnPage {
  readonly title: string;
  /** The answer in one sentence. */
  readonly finding: string;
  /** What it was made from, and by which program. */
  readonly source: string;
  /** Sections, as markup. */
  readonly sections: readonly string[];
  readonly warnings: readonly string[];
}

export function ownPage({ title, finding, source, sections, warnings }: OwnPage): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${PAGE_MARK}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escaped(title)}</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<header>
<h1>${escaped(title)}</h1>
<p class="answer">${escaped(finding)}</p>
<p class="note">${escaped(source)}</p>
<div class="cautions" role="note" aria-label="Cautions">${paragraphs(CAUTIONS)}</div>
</header>
<main>
${sections.join('\n')}
${warnings.length === 0 ? '' : `<section><h2>Warnings</h2>${paragraphs(warnings)}</section>`}
</main>
<footer class="note">${paragraphs(CAUTIONS)}</footer>
</body>
</html>
`;
}
