/**
 * The page's colours, light and dark, and the mark each outcome goes by. Outcomes keep their colours and shapes
 * everywhere, and nothing else wears them: what is no outcome is blue or grey. Outcomes differ in shape as well, so
 * that no picture depends on telling hues apart.
 */
import type { Outcome } from '../flight/outputs.ts';

/** How a flight ended, as pictures name it; each has a colour of that name. */
export const ENDINGS = [
  'landed',
  'outside',
  'lostRising',
  'guard',
  'noThrust',
  'lostFalling',
  'high',
  'low',
  'slid',
  'leaned',
  'leg',
  'tipped',
  'none',
] as const;
export type Ending = (typeof ENDINGS)[number];

/** Colours of what is no outcome. */
export const PLAIN_COLOURS = ['measure', 'beyond', 'ruleA', 'ruleB', 'accent'] as const;
type PlainColour = (typeof PLAIN_COLOURS)[number];

/** In the page each is a custom property of its name. */
export type Scheme = Readonly<Record<Ending | PlainColour | 'paper' | 'panel' | 'ink' | 'faint' | 'line', string>>;

export const LIGHT: Scheme = {
  paper: '#fcfcf9',
  panel: '#f1f2ec',
  ink: '#20262c',
  faint: '#56606a',
  line: '#d5d9d0',
  measure: '#3b6ea8',
  beyond: '#6d94c2',
  ruleA: '#14365e',
  ruleB: '#0b7da3',
  accent: '#2257b8',
  landed: '#0d7a72',
  outside: '#5f7d12',
  lostRising: '#c9202b',
  guard: '#d0650a',
  noThrust: '#a1606e',
  lostFalling: '#7a1f4f',
  high: '#b23a0e',
  low: '#8a3fb5',
  slid: '#957000',
  leaned: '#2f9440',
  leg: '#6b4f2a',
  tipped: '#d6247a',
  none: '#8a8a84',
};

export const DARK: Scheme = {
  paper: '#171b1f',
  panel: '#21272c',
  ink: '#e6e8e3',
  faint: '#a7b0b8',
  line: '#3a4249',
  measure: '#7db0ea',
  beyond: '#4f7db0',
  ruleA: '#c2dcff',
  ruleB: '#4cc0e8',
  accent: '#9aa6ff',
  landed: '#3cb8a8',
  outside: '#a3c44a',
  lostRising: '#ff6b6b',
  guard: '#ffa351',
  noThrust: '#e3b1b4',
  lostFalling: '#c9709f',
  high: '#ee7a4d',
  low: '#c48af0',
  slid: '#d9b13a',
  leaned: '#6fd07a',
  leg: '#b89468',
  tipped: '#ff6fae',
  none: '#85857f',
};

const ENDING_OF: Readonly<Record<Outcome, Ending>> = {
  'no result': 'none',
  landed: 'landed',
  'outside the field': 'outside',
  'lost control going up': 'lostRising',
  'held by the guard': 'guard',
  'no landing thrust': 'noThrust',
  'lost control coming down': 'lostFalling',
  'lit too high': 'high',
  'lit too low': 'low',
  slid: 'slid',
  leaned: 'leaned',
  'leg gave way': 'leg',
  'tipped over': 'tipped',
};

export function endingOf(outcome: Outcome): Ending {
  return ENDING_OF[outcome];
}

/** The outcome in words. */
export const ENDING_NAMES = Object.fromEntries(Object.entries(ENDING_OF).map(([outcome, ending]) => [ending, outcome])) as Readonly<
  Record<Ending, Outcome>
>;

type Corners = readonly (readonly [number, number])[];

/** A polygon of so many corners, every second one drawn in where it is a star. */
function regular(corners: number, radius: number, inner = radius): Corners {
  return Array.from({ length: corners }, (_, i): readonly [number, number] => {
    const angle = (2 * Math.PI * i) / corners - Math.PI / 2;
    const r = i % 2 === 0 ? radius : inner;
    return [Number((r * Math.cos(angle)).toFixed(3)), Number((r * Math.sin(angle)).toFixed(3))];
  });
}

/** A cross of four arms, half as wide as w, as long as 1.25. */
function cross(w: number, turned: boolean): Corners {
  const a = 1.25;
  const upright: Corners = [
    [-w, -a],
    [w, -a],
    [w, -w],
    [a, -w],
    [a, w],
    [w, w],
    [w, a],
    [-w, a],
    [-w, w],
    [-a, w],
    [-a, -w],
    [-w, -w],
  ];
  const c = Math.SQRT1_2;
  return turned ? upright.map(([x, y]) => [Number((c * (x - y)).toFixed(3)), Number((c * (x + y)).toFixed(3))] as const) : upright;
}

/** Corners of each mark about its middle, for a dot of radius 1; null: a circle. */
export const SHAPES: Readonly<Record<Ending, Corners | null>> = {
  landed: null,
  outside: regular(10, 1.45, 0.6),
  lostRising: [
    [-1, -1.15],
    [1, -1.15],
    [0.15, 0],
    [1, 1.15],
    [-1, 1.15],
    [-0.15, 0],
  ],
  guard: cross(0.4, false),
  noThrust: cross(0.4, true),
  lostFalling: [
    [-1.15, -1],
    [0, -0.15],
    [1.15, -1],
    [1.15, 1],
    [0, 0.15],
    [-1.15, 1],
  ],
  high: [
    [0, -1.3],
    [1.15, 0.8],
    [-1.15, 0.8],
  ],
  low: [
    [0, 1.3],
    [1.15, -0.8],
    [-1.15, -0.8],
  ],
  slid: [
    [-0.95, -0.95],
    [0.95, -0.95],
    [0.95, 0.95],
    [-0.95, 0.95],
  ],
  leaned: [
    [-0.5, -1],
    [1.4, -1],
    [0.5, 1],
    [-1.4, 1],
  ],
  leg: [
    [-0.9, -1.2],
    [-0.1, -1.2],
    [-0.1, 0.4],
    [1.1, 0.4],
    [1.1, 1.2],
    [-0.9, 1.2],
  ],
  tipped: [
    [0, -1.35],
    [1.35, 0],
    [0, 1.35],
    [-1.35, 0],
  ],
  none: [
    [-1.3, -0.35],
    [1.3, -0.35],
    [1.3, 0.35],
    [-1.3, 0.35],
  ],
};

/** The scheme as custom properties. */
export function customProperties(scheme: Scheme): string {
  return Object.entries(scheme)
    .map(([name, value]) => `--${name}: ${value};`)
    .join(' ');
}
