/**
 * Pictures in Node: Observable Plot on a document of linkedom, set in the page's type and colours. The one place that
 * imports either, and only when called: both are slow to load. Knows no flight.
 */
import type * as PlotLibrary from '@observablehq/plot';

export type Plot = typeof PlotLibrary;
export type PlotOptions = PlotLibrary.PlotOptions;

/** A linear scale as the page's script needs it: two values, and where they stand in the picture. */
export interface PictureScale {
  readonly domain: readonly [number, number];
  readonly range: readonly [number, number];
}

export interface Drawn {
  readonly svg: string;
  readonly x: PictureScale | null;
  readonly y: PictureScale | null;
}

export interface Drawing {
  readonly Plot: Plot;
  /**
   * @param alt what the picture shows, for those who do not see it
   * @param dots the first mark of dots has one a flight: its group gets the class `flights`, by which the page's script
   * finds it
   */
  draw(alt: string, options: PlotOptions, dots?: boolean): Drawn;
}

/** Room below that labels take when they are turned. */
const TURNED = 24;
/** Letters of all labels of an axis together that stand side by side. */
const SIDE_BY_SIDE = 36;

/** For an axis of words: labels that would run into each other are turned. */
export function turnedLabels(labels: readonly string[]): { readonly tickRotate?: number } {
  return labels.reduce((sum, label) => sum + label.length + 1, 0) > SIDE_BY_SIDE ? { tickRotate: -40 } : {};
}

/** Width of a picture in its own units; the page scales it to the column it stands in. */
export const WIDTH = 480;

export async function makeDrawing(): Promise<Drawing> {
  const Plot = await import('@observablehq/plot');
  const { parseHTML } = await import('linkedom');
  const { document } = parseHTML('<!doctype html><html></html>');
  return {
    Plot,
    draw: (alt, options, dots = false) => {
      const { x, y, ...rest } = options;
      const below = x?.tickRotate === undefined ? 0 : TURNED;
      const figure = Plot.plot({
        document: document as unknown as NonNullable<PlotOptions['document']>,
        className: 'plot',
        width: WIDTH,
        height: 300 + below,
        marginLeft: 52,
        marginRight: 14,
        marginTop: 14,
        marginBottom: 48 + below,
        style: { fontSize: '13px', fontFamily: 'inherit', background: 'none', color: 'var(--faint)', overflow: 'visible' },
        ...rest,
        // Plot's own place for the label overlaps the last tick.
        x: { labelAnchor: 'center', labelArrow: 'none', labelOffset: 42 + below, tickSize: 0, tickPadding: 8, ...x },
        y: { labelAnchor: 'center', labelArrow: 'none', labelOffset: 46, tickSize: 0, tickPadding: 6, ...y },
      });
      return { svg: finished(figure.outerHTML, alt, dots), x: linear(figure.scale('x')), y: linear(figure.scale('y')) };
    },
  };
}

function linear(scale: PlotLibrary.Scale | undefined): PictureScale | null {
  if (scale?.type !== 'linear' || scale.domain === undefined || scale.range === undefined) return null;
  const [d0, d1] = scale.domain as number[];
  const [r0, r1] = scale.range as number[];
  return { domain: [d0, d1], range: [r0, r1] };
}

/** Numbers of coordinates only: a tick's words keep their digits. */
const COORDINATES = / (d|transform|x|y|x1|x2|y1|y2|cx|cy|r|width|height)="([^"]*)"/g;

/** Rounded, so that the last bit of a sum on another machine moves nothing. */
function hundredths(digits: string): string {
  return String(Number(Number(digits).toFixed(2)));
}

function finished(svg: string, alt: string, dots: boolean): string {
  const quoted = alt.replace(/[&<>"]/g, (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[c] ?? c);
  // The mark's name is the only sign that the library leaves on a group.
  const found = dots ? svg.replace(' aria-label="dot"', ' class="flights"') : svg;
  return found
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/ aria-(label|hidden|description)="[^"]*"/g, '')
    .replace(COORDINATES, (_, name, value) => ` ${name}="${value.replace(/\d+\.\d{3,}/g, hundredths)}"`)
    .replace(/^<svg/, `<svg role="img" aria-label="${quoted}"`);
}
