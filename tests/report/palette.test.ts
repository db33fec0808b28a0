/**
 * Colours are legible and told apart without hue. Contrast ratio, relative luminance and thresholds: Web Content
 * Accessibility Guidelines 2.2, W3C Recommendation, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (graphics, 3 to
 * 1) and their definitions; formula from memory.
 */
import { describe, expect, test } from 'vitest';
import { OUTCOMES } from '../../src/flight/outputs.ts';
import { DARK, ENDINGS, endingOf, LIGHT, PLAIN_COLOURS, SHAPES } from '../../src/report/palette.ts';

function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

/**
 * Distance in the CIE 1976 L*a*b* space for D65, formulas from memory; about 2.3 is just seen, 15 our choice for
 * "plainly another".
 */
function difference(a: string, b: string): number {
  const lab = (hex: string): number[] => {
    const [r, g, b] = [1, 3, 5].map((i) => {
      const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    });
    const f = (t: number): number => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
    const [x, y, z] = [
      f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505),
      f(0.2126 * r + 0.7152 * g + 0.0722 * b),
      f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089),
    ];
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
  };
  const [one, other] = [lab(a), lab(b)];
  return Math.hypot(...one.map((v, i) => v - other[i]));
}

test('black on white has the greatest contrast there is, 21 to 1', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
});

describe.each([
  ['light', LIGHT],
  ['dark', DARK],
])('%s', (_, scheme) => {
  test.each(['paper', 'panel'] as const)('words are legible on %s', (ground) => {
    for (const ink of ['ink', 'faint'] as const) expect(contrast(scheme[ink], scheme[ground])).toBeGreaterThanOrEqual(4.5);
  });

  test('marks stand out from the paper', () => {
    for (const name of [...ENDINGS, ...PLAIN_COLOURS, 'ink'] as const)
      expect(contrast(scheme[name], scheme.paper)).toBeGreaterThanOrEqual(3);
  });

  test('words in a rule’s colour are legible', () => {
    for (const name of ['ruleA', 'ruleB', 'measure'] as const) expect(contrast(scheme[name], scheme.paper)).toBeGreaterThanOrEqual(4.5);
  });

  test('no two outcomes look alike, and nothing else looks like an outcome', () => {
    const others = [...PLAIN_COLOURS, 'ink', 'faint'] as const;
    const near = ENDINGS.flatMap((ending, i) =>
      [...ENDINGS.slice(i + 1), ...others]
        .filter((other) => difference(scheme[ending], scheme[other]) < 15)
        .map((other) => [ending, other]),
    );
    expect(near).toEqual([]);
  });
});

test('every outcome is an ending of its own', () => {
  expect(new Set(OUTCOMES.map(endingOf)).size).toBe(OUTCOMES.length);
});

test('no two kinds of ending share a shape', () => {
  expect(new Set(ENDINGS.map((ending) => JSON.stringify(SHAPES[ending]))).size).toBe(ENDINGS.length);
});

test('only a landing looks like a landing', () => {
  expect(OUTCOMES.filter((outcome) => endingOf(outcome) === 'landed')).toEqual(['landed']);
});
