import { describe, expect, it } from 'vitest';
import { logLikelihoodOf, residualOf } from '../../../src/analysis/learn/likelihood.ts';
import type { Observation, Sight } from '../../../src/analysis/logbook/logbook.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';

const seen = (key: Observation['key'], sight: Sight): Observation => ({ key, sight, misjudged: 0.02, place: '', words: '' });

describe('how likely a sight is, given one flight', () => {
  it('of a number: the normal density of its error', () => {
    const apogee = seen('apogee', { kind: 'value', value: 60, error: 2 });
    expect(logLikelihoodOf(apogee, 57)).toBeCloseTo(Math.log(Math.exp(-0.5 * 1.5 ** 2) / (2 * Math.sqrt(2 * Math.PI))), 12);
    expect(residualOf(apogee, 57)).toBe(1.5);
  });

  it('of a number that the flight had not: next to impossible, and finite', () => {
    const height = seen('ignitionHeight', { kind: 'value', value: 9, error: 0.5 });
    expect(logLikelihoodOf(height, Number.NaN)).toBeCloseTo(logLikelihoodOf(height, 9 + 8 * 0.5), 12);
    expect(residualOf(height, Number.NaN)).toBeNaN();
  });

  it('of an outcome word: over all words it sums to 1', () => {
    const landed = OUTCOMES.indexOf('landed');
    const sum = OUTCOMES.slice(1).reduce((total, _, i) => {
      return total + Math.exp(logLikelihoodOf(seen('outcome', { kind: 'exactly', value: i + 1 }), landed));
    }, 0);
    expect(sum).toBeCloseTo(1, 12);
    expect(Math.exp(logLikelihoodOf(seen('outcome', { kind: 'exactly', value: landed }), landed))).toBeCloseTo(0.98, 12);
  });

  it('of a between, a never and a yes: wrong with its chance', () => {
    const between = seen('sink', { kind: 'within', low: 1, high: 3 });
    expect(Math.exp(logLikelihoodOf(between, 3))).toBeCloseTo(0.98, 12);
    expect(Math.exp(logLikelihoodOf(between, 3.01))).toBeCloseTo(0.02, 12);
    expect(Math.exp(logLikelihoodOf(between, Number.NaN))).toBeCloseTo(0.02, 12);
    expect(Math.exp(logLikelihoodOf(seen('ignitionTime', { kind: 'never' }), Number.NaN))).toBeCloseTo(0.98, 12);
    expect(Math.exp(logLikelihoodOf(seen('guardHeld', { kind: 'exactly', value: 1 }), 0))).toBeCloseTo(0.02, 12);
  });

  it('of a direction: the short way round', () => {
    const wind = seen('wind.direction', { kind: 'value', value: 0.1, error: 0.1 });
    expect(residualOf(wind, 2 * Math.PI - 0.1)).toBeCloseTo(2, 9);
  });
});
