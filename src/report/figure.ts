/** What a picture on the page consists of, and its markup. Draws nothing itself. */
import type { Drawn, PictureScale } from './drawing.ts';
import { escaped } from './markup.ts';
import { ENDING_NAMES, type Ending, SHAPES } from './palette.ts';

/** An axis along which flights can be chosen: a column of the flights in the page, in the unit it is drawn in. */
export interface ActingAxis {
  readonly key: string;
  readonly factor: number;
  readonly scale: PictureScale;
}

/** How a picture takes part: chosen flights stand out in it, and a band drawn in it chooses flights. */
export interface Acting {
  readonly figure: string;
  readonly x: ActingAxis;
  /** null: a histogram, chosen along x alone. */
  readonly y: ActingAxis | null;
  /** Rows of the flights in the page that the dots stand for, in order. */
  readonly dots: readonly number[] | null;
  /** Edges of the bins, in the unit drawn, and the count that the y axis shows per flight in the page. */
  readonly bins: null | { readonly edges: readonly number[]; readonly y: PictureScale; readonly weight: number };
}

export interface Figure {
  readonly id: string;
  /** The finding, as a sentence. */
  readonly title: string;
  readonly picture: string;
  readonly caption: string;
  readonly acting: Acting | null;
  /** Needs the full width of the page. */
  readonly wide?: boolean;
}

export function figureMarkup({ id, title, picture, caption, acting, wide }: Figure): string {
  const active =
    acting === null
      ? ''
      : ` tabindex="0" role="group" aria-label="${escaped(`${title}. Drag across, or use the arrow keys, to choose flights.`)}"`;
  return `<figure id="${id}"${wide ? ' class="wide"' : ''}>
<h3>${escaped(title)}</h3>
<div class="picture${acting === null ? '' : ' acting'}"${active}>${picture}</div>
<figcaption>${escaped(caption)}</figcaption>
</figure>`;
}

/** A picture without flights to choose from. */
export function still(id: string, title: string, drawn: Drawn, caption: string): Figure {
  return { id, title, picture: drawn.svg, caption, acting: null };
}

/** The marks and their names, as text beside a picture. */
export function key(endings: readonly Ending[], names: Readonly<Record<Ending, string>> = ENDING_NAMES): string {
  const items = endings.map((ending) => `<li>${markSvg(ending)}${escaped(names[ending])}</li>`).join('');
  return `<ul class="key">${items}</ul>`;
}

export function markSvg(ending: Ending): string {
  const shape = SHAPES[ending];
  const inner =
    shape === null
      ? '<circle r="4.5"/>'
      : `<path d="M${shape.map(([x, y]) => `${(4.2 * x).toFixed(2)},${(4.2 * y).toFixed(2)}`).join('L')}Z"/>`;
  return `<svg class="mark" viewBox="-7 -7 14 14" width="14" height="14" aria-hidden="true" fill="var(--${ending})">${inner}</svg>`;
}
