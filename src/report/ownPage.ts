/**
 * The frame of a page that stands by itself, beside no flights: one self-contained HTML text, without a script. Knows
 * not what is on it.
 */

import { CAUTIONS } from './cautions.ts';
import { documentHead } from './documentHead.ts';
import { escaped, paragraphs } from './markup.ts';

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
  return `${documentHead(title)}<body>
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
