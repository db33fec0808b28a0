/// <reference lib="dom" />
/**
 * The page's own script: it runs in a reader's browser, not here, and the page carries it as it is built. Choosing flights by how
 * they ended or by a band drawn in a picture, the same flights standing out in every picture, one flight's numbers. Needs no network.
 * It imports nothing: what it needs to know stands in the page as data. Without it the page is whole but still.
 */
import type { Acting } from './figure.ts';
import type { FlightsInPage } from './flightsInPage.ts';

export interface PageData {
  readonly flights: FlightsInPage['packed'];
  readonly figures: readonly Acting[];
  readonly outcomes: readonly string[];
  readonly landed: number;
  readonly noResult: number;
  /** The command that flies a flight again, before and after its number. */
  readonly command: readonly [string, string];
}

/** What a flight's details say, in the units people use. */
const DETAILS: readonly (readonly [key: string, name: string, factor: number, unit: string])[] = [
  ['sink', 'sink', 1, 'm/s'],
  ['slide', 'slide', 1, 'm/s'],
  ['tilt', 'tilt', 180 / Math.PI, 'deg'],
  ['landingEast', 'east', 1, 'm'],
  ['landingNorth', 'north', 1, 'm'],
  ['ignitionHeightError', 'height error at ignition', 1, 'm'],
  ['apogee', 'apogee', 1, 'm'],
];

/** Pixels a pointer may wander and still have clicked, and how near a dot counts as hit. */
const STILL = 4;
const NEAR = 14;
/** The standard normal quantile for a 95 % interval. */
const Z = 1.959963984540054;

const SVG = 'http://www.w3.org/2000/svg';

/** A band chosen in one picture, in the picture's own coordinates. */
interface Band {
  readonly figure: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number] | null;
}

function start(data: PageData): void {
  const bytes = (text: string): DataView => new DataView(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer);
  const outcomeBytes = bytes(data.flights.outcomes);
  const count = outcomeBytes.byteLength;
  const numberBytes = bytes(data.flights.numbers);
  const outcome = Uint8Array.from({ length: count }, (_, i) => outcomeBytes.getUint8(i));
  const numbers = Uint32Array.from({ length: count }, (_, i) => numberBytes.getUint32(4 * i, true));
  const columns = new Map(
    data.flights.columns.map(({ key, low, step, data: text }) => {
      const view = bytes(text);
      const values = Float64Array.from({ length: count }, (_, i) => {
        const whole = view.getUint16(2 * i, true);
        return whole === data.flights.none ? Number.NaN : low + step * whole;
      });
      return [key, values];
    }),
  );
  const column = (key: string): Float64Array => {
    const values = columns.get(key);
    if (values === undefined) throw new Error(`the page has no column ${key}`);
    return values;
  };
  const element = <T extends Element>(selector: string, within: ParentNode = document): T => {
    const found = within.querySelector<T>(selector);
    if (found === null) throw new Error(`the page has no ${selector}`);
    return found;
  };

  const boxes = [...document.querySelectorAll<HTMLInputElement>('.filter input[type=checkbox]')];
  const numberBox = element<HTMLInputElement>('#flight-number');
  const panel = element<HTMLElement>('.chosen-box');
  const chosenLine = element<HTMLElement>('#chosen');
  const pickedLine = element<HTMLElement>('#picked');
  const clearButton = element<HTMLButtonElement>('#clear');

  let band: Band | null = null;
  let picked: number | null = null;
  const chosen = new Uint8Array(count).fill(1);

  const figures = data.figures.map((acting) => {
    const holder = element<HTMLElement>(`#${acting.figure} .acting`);
    const svg = element<SVGSVGElement>('svg.plot', holder);
    const dots = acting.dots === null ? [] : [...svg.querySelectorAll('.flights > *')];
    const place = (axis: Acting['x'], row: number): number => {
      const [d0, d1] = axis.scale.domain;
      const [r0, r1] = axis.scale.range;
      return r0 + ((column(axis.key)[row] * axis.factor - d0) / (d1 - d0)) * (r1 - r0);
    };
    const layer = document.createElementNS(SVG, 'g');
    layer.setAttribute('pointer-events', 'none');
    svg.append(layer);
    return {
      acting,
      holder,
      svg,
      dots,
      layer,
      x: (row: number) => place(acting.x, row),
      y: acting.y === null ? null : (row: number) => place(acting.y as Acting['x'], row),
    };
  });
  type Picture = (typeof figures)[number];

  const within = (v: number, [a, b]: readonly [number, number]): boolean => v >= a && v <= b;

  const choose = (): void => {
    const shown = new Set(boxes.filter((box) => box.checked).map((box) => Number(box.value)));
    const from = figures.find(({ acting }) => acting.figure === band?.figure);
    for (let i = 0; i < count; i++) {
      let good = shown.has(outcome[i]);
      if (good && band !== null && from !== undefined) {
        good = within(from.x(i), band.x) && (from.y === null || band.y === null || within(from.y(i), band.y));
      }
      chosen[i] = good ? 1 : 0;
    }
    const all = band === null && boxes.every((box) => box.checked);
    for (const picture of figures) show(picture, all);
    say(all);
  };

  const show = ({ acting, dots, layer, x, y }: Picture, all: boolean): void => {
    dots.forEach((dot, k) => {
      dot.classList.toggle('off', chosen[acting.dots?.[k] ?? 0] === 0);
    });
    layer.replaceChildren();
    const rect = (cls: string, left: number, top: number, width: number, height: number): void => {
      const r = document.createElementNS(SVG, 'rect');
      for (const [name, value] of Object.entries({ class: cls, x: left, y: top, width, height })) r.setAttribute(name, String(value));
      layer.append(r);
    };
    if (acting.bins !== null && !all) {
      const { edges, y: scale, weight } = acting.bins;
      const counts = new Float64Array(edges.length - 1);
      const values = column(acting.x.key);
      for (let i = 0; i < count; i++) {
        if (chosen[i] === 0 || outcome[i] === data.noResult) continue;
        const v = values[i] * acting.x.factor;
        if (!(v <= edges[edges.length - 1])) continue;
        counts[Math.max(0, Math.min(counts.length - 1, Math.ceil((v - edges[0]) / (edges[1] - edges[0]) - 1e-9) - 1))]++;
      }
      const [d0, d1] = acting.x.scale.domain;
      const [r0, r1] = acting.x.scale.range;
      const across = (v: number): number => r0 + ((v - d0) / (d1 - d0)) * (r1 - r0);
      counts.forEach((n, k) => {
        const height = ((n * weight) / (scale.domain[1] - scale.domain[0])) * (scale.range[0] - scale.range[1]);
        const left = across(edges[k]);
        const width = across(edges[k + 1]) - left;
        if (n > 0) rect('chosen', left + width / 4, scale.range[0] - height, width / 2, height);
      });
    }
    if (band !== null && band.figure === acting.figure) {
      const tall = band.y ?? acting.bins?.y.range ?? [0, 0];
      const [top, bottom] = [Math.min(...tall), Math.max(...tall)];
      rect('band', band.x[0], top, band.x[1] - band.x[0], bottom - top);
    }
    if (picked !== null && y !== null && Number.isFinite(x(picked)) && Number.isFinite(y(picked))) {
      const ring = document.createElementNS(SVG, 'circle');
      for (const [name, value] of Object.entries({ class: 'picked', cx: x(picked), cy: y(picked), r: 7 }))
        ring.setAttribute(name, String(value));
      layer.append(ring);
    }
  };

  const number = (n: number): string => n.toLocaleString('en-GB');

  const say = (all: boolean): void => {
    panel.hidden = all && picked === null && pickedLine.textContent === '';
    clearButton.hidden = all && picked === null;
    if (all) {
      chosenLine.textContent = '';
      return;
    }
    let n = 0;
    let counted = 0;
    let landed = 0;
    for (let i = 0; i < count; i++) {
      if (chosen[i] === 0) continue;
      n++;
      if (outcome[i] === data.noResult) continue;
      counted++;
      if (outcome[i] === data.landed) landed++;
    }
    const held = `of the ${number(count)} (of ${number(data.flights.flown)} flown) that this page holds`;
    let text = count === data.flights.flown ? `${number(n)} of ${number(count)} flights chosen` : `${number(n)} flights chosen ${held}`;
    if (n > counted) text += `, ${number(n - counted)} without a result`;
    if (counted > 0) {
      const p = landed / counted;
      const spread = Z * Math.sqrt((p * (1 - p)) / counted + (Z * Z) / (4 * counted * counted));
      const scale = 1 + (Z * Z) / counted;
      const centre = p + (Z * Z) / (2 * counted);
      const decimals = Math.min(4, Math.max(1, Math.ceil(-Math.log10((100 * spread) / scale))));
      const percent = (share: number): string => (100 * Math.min(1, Math.max(0, share))).toFixed(decimals);
      text += `; ${number(landed)} of them landed: ${percent(p)} % (95 % interval by Wilson ${percent((centre - spread) / scale)} to ${percent((centre + spread) / scale)} %)`;
    }
    chosenLine.textContent = `${text}.`;
  };

  const details = (row: number): string => {
    const parts = DETAILS.flatMap(([key, name, factor, unit]) => {
      const value = column(key)[row] * factor;
      return Number.isFinite(value) ? [`${name} ${value.toFixed(2)} ${unit}`] : [];
    });
    return `Flight ${numbers[row]}: ${data.outcomes[outcome[row]]}${parts.length > 0 ? `; ${parts.join(', ')}` : ''}.`;
  };

  const pick = (row: number | null, wanted?: number): void => {
    picked = row;
    pickedLine.replaceChildren();
    const n = row === null ? wanted : numbers[row];
    if (n !== undefined) {
      const code = document.createElement('code');
      code.textContent = data.command[0] + n + data.command[1];
      pickedLine.append(`${row === null ? `Flight ${n} is not among those this page holds.` : details(row)} Fly it again: `, code);
    }
    choose();
  };

  /** A place on the screen in a picture's own coordinates. */
  const locate = ({ svg }: Picture, event: PointerEvent): readonly [number, number] => {
    const box = svg.getBoundingClientRect();
    const scale = svg.viewBox.baseVal.width / box.width;
    return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
  };

  const nearest = ({ acting, x, y }: Picture, [px, py]: readonly [number, number]): number | null => {
    if (y === null || acting.dots === null) return null;
    let best: number | null = null;
    let least = NEAR;
    for (const row of acting.dots) {
      if (chosen[row] === 0) continue;
      const d = Math.hypot(x(row) - px, y(row) - py);
      if (d < least) {
        least = d;
        best = row;
      }
    }
    return best;
  };

  const clear = (): void => {
    band = null;
    for (const box of boxes) box.checked = true;
    numberBox.value = '';
    pick(null);
  };

  for (const picture of figures) {
    const { acting, holder } = picture;
    const hold = (v: number, range: readonly [number, number]): number => Math.min(Math.max(v, Math.min(...range)), Math.max(...range));
    const spans = (a: number, b: number, range: readonly [number, number]): readonly [number, number] => {
      const [p, q] = [hold(a, range), hold(b, range)];
      return [Math.min(p, q), Math.max(p, q)];
    };
    let from: readonly [number, number] | null = null;
    let moved = false;
    holder.addEventListener('pointerdown', (event) => {
      if (event.button !== 0) return;
      from = locate(picture, event);
      moved = false;
      holder.setPointerCapture(event.pointerId);
    });
    holder.addEventListener('pointermove', (event) => {
      const at = locate(picture, event);
      if (from === null) {
        const row = nearest(picture, at);
        holder.title = row === null ? '' : details(row);
        return;
      }
      if (!moved && Math.hypot(at[0] - from[0], at[1] - from[1]) < STILL) return;
      moved = true;
      band = {
        figure: acting.figure,
        x: spans(from[0], at[0], acting.x.scale.range),
        y: acting.y === null ? null : spans(from[1], at[1], acting.y.scale.range),
      };
      choose();
    });
    const end = (event: PointerEvent): void => {
      if (from === null) return;
      from = null;
      if (moved || event.type === 'pointercancel') return;
      const row = nearest(picture, locate(picture, event));
      if (row === null) clear();
      else pick(row);
    };
    holder.addEventListener('pointerup', end);
    holder.addEventListener('pointercancel', end);
    holder.addEventListener('keydown', (event) => {
      const [low, high] = [...acting.x.scale.range].sort((a, b) => a - b);
      const step = (high - low) / 24;
      const own = band !== null && band.figure === acting.figure ? band : null;
      let [a, b] = own?.x ?? [low, low + 4 * step];
      if (event.key === 'Escape') {
        clear();
        return;
      }
      if (event.key === 'Enter') {
        const after = [...chosen.keys()].find((row) => chosen[row] === 1 && row > (picked ?? -1));
        pick(after ?? null);
        event.preventDefault();
        return;
      }
      if (event.key !== 'ArrowLeft' && event.key !== 'ArrowRight') return;
      event.preventDefault();
      const way = event.key === 'ArrowRight' ? step : -step;
      if (own !== null) {
        if (!event.shiftKey) a += way;
        b += way;
      }
      if (a < low || b > high || b - a < step / 2) return;
      band = { figure: acting.figure, x: [a, b], y: own?.y ?? null };
      choose();
    });
  }
  for (const box of boxes) box.addEventListener('change', choose);
  clearButton.addEventListener('click', clear);
  numberBox.addEventListener('change', () => {
    const wanted = Number(numberBox.value);
    if (!Number.isInteger(wanted) || wanted < 1) return pick(null);
    const row = numbers.indexOf(wanted);
    pick(row < 0 ? null : row, wanted);
  });
  document.documentElement.dataset.ready = 'yes';
}

const text = document.querySelector('#page-data')?.textContent;
if (typeof text === 'string') start(JSON.parse(text) as PageData);
