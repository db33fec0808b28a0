/**
 * How a reader acts on a picture: dragging a band, clicking a dot, the arrow keys. Says what is wanted; does none of
 * it.
 */
import type { Band } from './choice.ts';
import type { Picture } from './picture.ts';

/** Pixels a pointer may wander and still have clicked. */
const STILL = 4;
/** Steps of the arrow keys across a picture, and steps that a new band is wide. */
const KEY_STEPS = 24;
const NEW_BAND = 4;

export interface Wishes {
  chooseBand(band: Band): void;
  /** The pointer rests at a spot, not dragging. */
  hover(picture: Picture, event: PointerEvent): void;
  click(picture: Picture, event: PointerEvent): void;
  pickNext(): void;
  clear(): void;
  /** The band there is, if it is this picture's. */
  bandOf(picture: Picture): Band | null;
}

export function listenToPointer(picture: Picture, wishes: Wishes): void {
  const { acting, holder } = picture;
  let from: readonly [number, number] | null = null;
  let moved = false;
  holder.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    from = picture.spot(event);
    moved = false;
    holder.setPointerCapture(event.pointerId);
  });
  holder.addEventListener('pointermove', (event) => {
    if (from === null) return wishes.hover(picture, event);
    const to = picture.spot(event);
    if (!moved && Math.hypot(to[0] - from[0], to[1] - from[1]) < STILL) return;
    moved = true;
    wishes.chooseBand({
      figure: acting.figure,
      x: span(from[0], to[0], acting.x.scale.range),
      y: acting.y === null ? null : span(from[1], to[1], acting.y.scale.range),
    });
  });
  const end = (event: PointerEvent): void => {
    if (from === null) return;
    from = null;
    if (!moved && event.type !== 'pointercancel') wishes.click(picture, event);
  };
  holder.addEventListener('pointerup', end);
  holder.addEventListener('pointercancel', end);
}

/** Two places within a range, ascending. */
function span(a: number, b: number, range: readonly [number, number]): readonly [number, number] {
  const held = [a, b].map((v) => Math.min(Math.max(v, Math.min(...range)), Math.max(...range)));
  return [Math.min(...held), Math.max(...held)];
}

export function listenToKeys(picture: Picture, wishes: Wishes): void {
  const [low, high] = [...picture.acting.x.scale.range].sort((a, b) => a - b);
  const step = (high - low) / KEY_STEPS;
  picture.holder.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') return wishes.clear();
    if (event.key !== 'Enter' && event.key !== 'ArrowLeft' && event.key !== 'ArrowRight') return;
    event.preventDefault();
    if (event.key === 'Enter') return wishes.pickNext();
    const own = wishes.bandOf(picture);
    let [a, b] = own?.x ?? [low, low + NEW_BAND * step];
    const way = event.key === 'ArrowRight' ? step : -step;
    if (own !== null) {
      if (!event.shiftKey) a += way;
      b += way;
    }
    if (a < low || b > high || b - a < step / 2) return;
    wishes.chooseBand({ figure: picture.acting.figure, x: [a, b], y: own?.y ?? null });
  });
}
