/** A picture that flights can be chosen in: where each stands in it, and how it shows which are chosen. */
import type { Acting } from '../figure.ts';
import type { Choice, Places } from './choice.ts';
import type { Flights } from './flights.ts';

const SVG = 'http://www.w3.org/2000/svg';
/** Radius of the ring about the flight picked, and how near a dot counts as hit, in the picture's units. */
const RING = 7;
const NEAR = 14;

type Spot = readonly [number, number];

export interface Picture extends Places {
  readonly acting: Acting;
  readonly holder: HTMLElement;
  /** A place on the screen in the picture's own coordinates. */
  spot(event: PointerEvent): Spot;
  /** The chosen flight drawn nearest to a spot; null when none is near. */
  nearest(spot: Spot, chosen: Uint8Array): number | null;
  show(choice: Choice): void;
}

/** @param noResult place of "no result" among the outcomes: such flights are in no histogram */
export function makePicture(acting: Acting, holder: HTMLElement, flights: Flights, noResult: number): Picture {
  const svg = holder.querySelector<SVGSVGElement>('svg.plot');
  if (svg === null) throw new Error(`the page has no picture ${acting.figure}`);
  const dots = acting.dots === null ? [] : [...svg.querySelectorAll('.flights > *')];
  const layer = document.createElementNS(SVG, 'g');
  layer.setAttribute('pointer-events', 'none');
  svg.append(layer);
  const draw = (name: string, attributes: Readonly<Record<string, string | number>>): void => {
    const shape = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) shape.setAttribute(key, String(value));
    layer.append(shape);
  };
  const x = placeAlong(acting.x, flights);
  const y = acting.y === null ? null : placeAlong(acting.y, flights);
  return {
    acting,
    holder,
    x,
    y,
    spot: (event) => {
      const box = svg.getBoundingClientRect();
      const scale = svg.viewBox.baseVal.width / box.width;
      return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
    },
    nearest: ([px, py], chosen) => {
      if (y === null || acting.dots === null) return null;
      let [best, least]: [number | null, number] = [null, NEAR];
      for (const row of acting.dots) {
        const distance = Math.hypot(x(row) - px, y(row) - py);
        if (chosen[row] === 1 && distance < least) [best, least] = [row, distance];
      }
      return best;
    },
    show: (choice) => {
      dots.forEach((dot, k) => {
        dot.classList.toggle('off', choice.chosen[acting.dots?.[k] ?? 0] === 0);
      });
      layer.replaceChildren();
      if (!choice.all) for (const bar of chosenBars(acting, flights, choice.chosen, noResult)) draw('rect', bar);
      const band = bandRect(acting, choice);
      if (band !== null) draw('rect', band);
      const { picked } = choice;
      // A flight beyond the frame has no ring: it would stand on the words about the picture.
      if (picked !== null && acting.y !== null && y !== null && within(x(picked), acting.x) && within(y(picked), acting.y)) {
        draw('circle', { class: 'picked', cx: x(picked), cy: y(picked), r: RING });
      }
    },
  };
}

function placeAlong({ key, factor, scale }: Acting['x'], flights: Flights): (row: number) => number {
  const values = flights.column(key);
  const [d0, d1] = scale.domain;
  const [r0, r1] = scale.range;
  return (row) => r0 + ((values[row] * factor - d0) / (d1 - d0)) * (r1 - r0);
}

function within(place: number, { scale }: Acting['x']): boolean {
  return place >= Math.min(...scale.range) && place <= Math.max(...scale.range);
}

type Rect = { readonly class: string; readonly x: number; readonly y: number; readonly width: number; readonly height: number };

/** The chosen flights' own bars before those of all. */
function chosenBars(acting: Acting, flights: Flights, chosen: Uint8Array, noResult: number): Rect[] {
  if (acting.bins === null) return [];
  const { edges, y: scale, weight } = acting.bins;
  const counts = new Float64Array(edges.length - 1);
  const values = flights.column(acting.x.key);
  chosen.forEach((is, i) => {
    const value = values[i] * acting.x.factor;
    if (is === 0 || flights.outcome[i] === noResult || !(value <= edges[edges.length - 1])) return;
    counts[Math.max(0, Math.min(counts.length - 1, Math.ceil((value - edges[0]) / (edges[1] - edges[0]) - 1e-9) - 1))]++;
  });
  const [d0, d1] = acting.x.scale.domain;
  const [r0, r1] = acting.x.scale.range;
  const across = (value: number): number => r0 + ((value - d0) / (d1 - d0)) * (r1 - r0);
  return [...counts].flatMap((n, k): Rect[] => {
    const height = ((n * weight) / (scale.domain[1] - scale.domain[0])) * (scale.range[0] - scale.range[1]);
    const width = across(edges[k + 1]) - across(edges[k]);
    return n > 0 ? [{ class: 'chosen', x: across(edges[k]) + width / 4, y: scale.range[0] - height, width: width / 2, height }] : [];
  });
}

function bandRect(acting: Acting, { band }: Choice): Rect | null {
  if (band === null || band.figure !== acting.figure) return null;
  const tall = band.y ?? acting.bins?.y.range ?? [0, 0];
  const [top, bottom] = [Math.min(...tall), Math.max(...tall)];
  return { class: 'band', x: band.x[0], y: top, width: band.x[1] - band.x[0], height: bottom - top };
}
