import { describe, expect, it } from 'vitest';
import { touchdown } from '../../../src/analysis/fly/touchdown.ts';
import type { Outcome } from '../../../src/flight/outputs.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { heldLimits } from '../../../src/study/touchdownLimits.ts';
import { demoStudy, springsStudy } from '../../helpers/studyForTests.ts';
import { flights } from '../flights.ts';

const { limits } = demoStudy();
const study = demoStudy({ limits: { ...limits, sink: 3, slide: 1.5, tilt: 0.25 } });
const keys = ['sink', 'slide', 'tilt'];

describe('touchdown', () => {
  const rows = [
    ...Array.from({ length: 100 }, (_, i) => ({ outcome: 'landed' as const, sink: (i + 1) / 20, slide: 1 + i / 1000, tilt: 0.1 })),
    { outcome: 'lost control going up' as const },
    { outcome: 'no result' as const, sink: 99, slide: 99, tilt: 99 },
  ];
  const found = touchdown(flights(rows, keys), study, 0.95);

  it('counts those that touched, those that did not, and those without a result, whose numbers it leaves alone', () => {
    expect(found).toMatchObject({ level: 0.95, touched: 100, untouched: 1, noResult: 1 });
    expect(found.measures.sink.histogram.above).toBe(0);
  });

  it('gives quantiles with distribution-free intervals, none where the sample is too small', () => {
    const median = found.measures.sink.quantiles.find(({ share }) => share === 0.5);
    // Values are ranks over 20: ranks 40 and 61 enclose the median of 100.
    expect(median).toEqual({ share: 0.5, value: 2.525, interval: [40 / 20, 61 / 20] });
    expect(found.measures.sink.quantiles.map(({ share }) => share)).toEqual([0.05, 0.25, 0.5, 0.75, 0.95, 0.99]);
    expect(found.measures.sink.quantiles.at(-1)?.interval).toBeNull();
  });

  it('counts a touchdown exactly at the limit as within it, in the share and in the bins alike', () => {
    expect(found.measures.sink).toMatchObject({
      limit: 3,
      within: 60,
      shareWithin: 0.6,
      shareWithinInterval: clopperPearson(60, 100, 0.95),
    });
    const { edges, counts } = found.measures.sink.histogram;
    expect(edges[10]).toBe(3);
    expect(counts.slice(0, 10).reduce((a, b) => a + b, 0)).toBe(60);
    expect(counts.slice(10).reduce((a, b) => a + b, 0)).toBe(40);
    expect(found.measures.slide.within).toBe(100);
    expect(found.measures.tilt.histogram.counts[3]).toBe(100);
  });

  it('without a touchdown claims nothing', () => {
    for (const outcome of ['lost control going up', 'no result'] as Outcome[]) {
      const none = touchdown(flights([{ outcome }], keys), study, 0.95);
      expect(none.touched).toBe(0);
      expect(none.measures.tilt).toMatchObject({ within: 0, shareWithin: null, shareWithinInterval: null, quantiles: [] });
    }
    expect(touchdown(flights([], keys), study, 0.95)).toMatchObject({ touched: 0, untouched: 0, noResult: 0 });
  });

  it('of one flight gives its values and no intervals for them', () => {
    const one = touchdown(flights([{ outcome: 'landed', sink: 2, slide: 1, tilt: 0 }], keys), study, 0.95);
    for (const { value, interval } of one.measures.sink.quantiles) {
      expect(value).toBe(2);
      expect(interval).toBeNull();
    }
    expect(one.measures.tilt.histogram.counts[0]).toBe(1);
  });

  it('never skips a number that should be there', () => {
    expect(() => touchdown(flights([{ outcome: 'landed', sink: 2, slide: 1 }], keys), study, 0.95)).toThrow(RangeError);
    expect(() => touchdown(flights([{ outcome: 'landed', sink: 2 }], ['sink']), study, 0.95)).toThrow(/no column slide/);
  });

  it('refuses limits that are none', () => {
    expect(() => touchdown(flights([], keys), demoStudy({ limits: { ...limits, slide: 0 } }), 0.95)).toThrow(RangeError);
  });

  it('of legs that spring, holds the sink against what they stand, and the rest against nothing', () => {
    const rows = Array.from({ length: 100 }, (_, i) => ({ outcome: 'landed' as const, sink: (i + 1) / 20, slide: i / 100, tilt: 0 }));
    const { sink, slide, tilt } = touchdown(flights(rows, keys), springsStudy(), 0.95).measures;
    const stands = heldLimits(springsStudy()).sink;
    expect(sink).toMatchObject({ limit: stands, ofLegs: true, within: Math.floor(20 * stands) });
    expect(slide).toMatchObject({ limit: null, ofLegs: false, within: null, shareWithin: null });
    // 99 in 100 are drawn; where none slides or leans there is still something to draw.
    expect(slide.histogram.above).toBe(1);
    expect(tilt.histogram.counts[0]).toBe(100);
  });
});
