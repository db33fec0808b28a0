/**
 * log B, binomial and hypergeometric probabilities against an independent computation: F. Johansson et al., mpmath
 * 1.3.0 at 60 digits (fixtures/counts.py makes the table).
 */
import { describe, expect, it } from 'vitest';
import { binomialProbability, hypergeometricProbability } from '../../src/maths/binomial.ts';
import { logBeta } from '../../src/maths/incompleteBeta.ts';
import table from './fixtures/counts.json' with { type: 'json' };

describe('counts', () => {
  it('log B to 1e-14 of its largest part', () => {
    const wrong = table.logBeta.filter(([a, b, value]) => !(Math.abs(logBeta(a, b) - value) <= 1e-14 * Math.max(1, Math.abs(value))));
    expect(wrong).toEqual([]);
  });

  // relative 1e-12: an exponent of several hundred carries its last bit into the probability; under 1e-300 only the
  // order is asked for
  it('binomial probabilities, n up to 1e7', () => {
    const wrong = table.binomial.filter(([k, n, p, value]) => !(Math.abs(binomialProbability(k, n, p) - value) <= 1e-12 * value + 1e-300));
    expect(wrong).toEqual([]);
  });

  it('hypergeometric probabilities', () => {
    const wrong = table.hypergeometric.filter(
      ([k, marked, plain, drawn, value]) =>
        !(Math.abs(hypergeometricProbability(k, marked, plain, drawn) - value) <= 1e-12 * value + 1e-300),
    );
    expect(wrong).toEqual([]);
    expect(table.hypergeometric.length).toBeGreaterThan(15);
  });
});
