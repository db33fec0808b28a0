/**
 * The page's colours, light and dark, and the mark each kind of ending goes by. Kinds differ in lightness and in shape as well as in
 * hue, so that no picture depends on telling hues apart.
 */
import type { Outcome } from '../flight/outputs.ts';

/** Names of the page's colours; in the page each is a custom property of that name. */
export interface Scheme {
  readonly paper: string;
  readonly panel: string;
  readonly ink: string;
  readonly faint: string;
  readonly line: string;
  readonly landed: string;
  readonly high: string;
  readonly low: string;
  readonly slid: string;
  readonly other: string;
  readonly mark: string;
}

export const LIGHT: Scheme = {
  paper: '#fcfcf9',
  panel: '#f1f2ec',
  ink: '#20262c',
  faint: '#56606a',
  line: '#d5d9d0',
  landed: '#0d7a72',
  high: '#9a3412',
  low: '#5146a6',
  slid: '#a67c00',
  other: '#737b84',
  mark: '#20262c',
};

export const DARK: Scheme = {
  paper: '#171b1f',
  panel: '#21272c',
  ink: '#e6e8e3',
  faint: '#a7b0b8',
  line: '#3a4249',
  landed: '#3cb8a8',
  high: '#ee8257',
  low: '#9c92f0',
  slid: '#e0b53a',
  other: '#8d969f',
  mark: '#e6e8e3',
};

/** The kinds of ending that pictures tell apart; rarer ones share the last. */
export const ENDINGS = ['landed', 'high', 'low', 'slid', 'other'] as const;
export type Ending = (typeof ENDINGS)[number];

export const ENDING_NAMES: Readonly<Record<Ending, string>> = {
  landed: 'landed',
  high: 'lit too high',
  low: 'lit too low',
  slid: 'slid',
  other: 'other failure',
};

export function endingOf(outcome: Outcome): Ending {
  switch (outcome) {
    case 'landed':
      return 'landed';
    case 'lit too high':
      return 'high';
    case 'lit too low':
      return 'low';
    case 'slid':
      return 'slid';
    default:
      return 'other';
  }
}

/** Corners of each mark about its middle, for a dot of radius 1; null: a circle. */
export const SHAPES: Readonly<Record<Ending, readonly (readonly [number, number])[] | null>> = {
  landed: null,
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
  other: [
    [0, -1.35],
    [1.35, 0],
    [0, 1.35],
    [-1.35, 0],
  ],
};

/** The scheme as custom properties. */
export function customProperties(scheme: Scheme): string {
  return Object.entries(scheme)
    .map(([name, value]) => `--${name}: ${value};`)
    .join(' ');
}
