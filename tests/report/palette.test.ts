/**
 * Colours are legible and told apart without hue. Contrast ratio, relative luminance and thresholds: Web Content Accessibility Guidelines
 * 2.2, W3C Recommendation, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (graphics, 3 to 1) and their definitions; formula from memory.
 */
import { describe, expect, test } from 'vitest';
import { OUTCOMES } from '../../src/flight/outputs.ts';
import { DARK, ENDINGS, endingOf, LIGHT, SHAPES } from '../../src/report/palette.ts';

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
    for (const name of [...ENDINGS, 'mark'] as const) expect(contrast(scheme[name], scheme.paper)).toBeGreaterThanOrEqual(3);
  });

  test('no two kinds of ending share a colour', () => {
    expect(new Set(ENDINGS.map((ending) => scheme[ending])).size).toBe(ENDINGS.length);
  });
});

test('no two kinds of ending share a shape', () => {
  expect(new Set(ENDINGS.map((ending) => JSON.stringify(SHAPES[ending]))).size).toBe(ENDINGS.length);
});

test('only a landing looks like a landing', () => {
  expect(OUTCOMES.filter((outcome) => endingOf(outcome) === 'landed')).toEqual(['landed']);
});
