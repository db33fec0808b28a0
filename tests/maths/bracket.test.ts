/** Bisection: the change stays inside, and the bracket halves. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bracket } from '../../src/maths/bracket.ts';

describe('a bracket', () => {
  it('closes on where something changes, in as many halvings as the width asks for', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1, noNaN: true }), (change) => {
        const bracket = new Bracket();
        bracket.start(0, 1);
        let halvings = 0;
        for (; bracket.width() > 1e-9; halvings++) bracket.narrow(bracket.middle() >= change);
        expect(halvings).toBe(30);
        expect(bracket.low).toBeLessThan(change);
        expect(bracket.high).toBeGreaterThanOrEqual(change);
      }),
      { seed: 2, numRuns: 100 },
    );
  });
});
