import { describe, expect, it } from 'vitest';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { retunedGains } from '../../../src/analysis/rank/retunedFixes.ts';
import type { HeightShift } from '../../../src/analysis/shift/retune.ts';
import { fixRankingText } from '../../../src/cli/fixRankText.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const [LANDED, LOST, NONE] = (['landed', 'lit too low', 'no result'] as const).map((outcome) => OUTCOMES.indexOf(outcome));
const shift: HeightShift = {
  rule: 'r',
  constant: 'height',
  from: 7,
  to: 8,
  shift: 1,
  interval: [0.5, 1.5],
  flat: [0.4, 1.6],
  onEdge: false,
  fittedTo: 'soft touchdowns',
  flights: 100,
  nominalFlights: 41,
  seed: 's',
};
/** So many of the flights land, the first of them; the last has no result. */
const landing = (count: number): Uint8Array => Uint8Array.from({ length: 101 }, (_, i) => (i === 100 ? NONE : i < count ? LANDED : LOST));

describe('gains retuned', () => {
  const fix = { name: 'f', pins: {}, spread: {}, settings: [] };

  it('are over the study retuned too, and say by how much more they are than as programmed', () => {
    const again = { base: { shift, outcome: landing(40) }, fixes: new Map([[fix, { shift, outcome: landing(60) }]]) };
    const [found] = retunedGains([{ fix, outcome: landing(10) }], landing(40), again);
    expect(found?.gain.gain).toBeCloseTo(0.2, 12);
    // retuned 60 - 40, as programmed 10 - 40, of 100 flights
    expect(found?.beyond?.difference).toBeCloseTo(0.5, 12);
    expect(found?.beyond?.interval[0]).toBeLessThan(0.5);
    expect(found?.beyond?.interval[0]).toBeGreaterThan(0.35);
  });

  it('are left out where they were not flown', () => {
    expect(retunedGains([{ fix, outcome: landing(10) }], landing(40), null)).toEqual([null]);
    expect(retunedGains([{ fix, outcome: landing(10) }], landing(40), { base: { shift, outcome: landing(4) }, fixes: new Map() })).toEqual([
      null,
    ]);
  });
});

describe('rank --fix --retune', () => {
  const opened: OpenedStudy = { study: demoStudy({ flights: 500 }), warnings: [], foretold: [], text: 'title: made by a test\n' };

  it('a fix that moves the belief by metres is judged with constants that follow it', async () => {
    const { ranking } = await rankFixes(opened, { fixes: ['accelerometer.biasX=0.12'], retune: true, flights: 500 });
    const [row] = ranking.asked;
    expect(ranking.retuned?.flights).toBeGreaterThan(0);
    // half of it times the square of seven seconds: three metres of belief; as programmed a catastrophe, retuned hardly
    // any loss
    expect(row.gain.gain).toBeLessThan(-0.15);
    expect(row.retuned?.gain.gain).toBeGreaterThan((row.gain.gain ?? Number.NaN) + 0.1);
    expect(row.retuned?.beyond?.interval[0]).toBeGreaterThan(0);
    const text = fixRankingText(ranking);
    expect(text).toContain('accelerometer.biasX=0.12, as programmed');
    expect(text).toContain('accelerometer.biasX=0.12, retuned');
  });

  it('refuses too few flights before it flies', async () => {
    await expect(rankFixes(opened, { fixes: ['gusts=off'], retune: true, flights: 100 })).rejects.toThrow(
      '--flights: read 100; retuning needs',
    );
  });
});
