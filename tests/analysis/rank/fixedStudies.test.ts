/** Fixes of settings: each made into a study once, its problems said before anything flies, the same luck with and without. */
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { rankFixes } from '../../../src/analysis/rank/rankFixes.ts';
import { openStudy } from '../../../src/study/load.ts';
import type { Given } from '../../../src/study/override.ts';

const PATH = resolve('studies/thistledown.yaml');
const set = ['flights=500'];
const reopen = (replacements: readonly Given[]) => openStudy(PATH, { set, replacements });

describe('rank --fix of a setting', () => {
  it('flies the study with it, on the same luck', async () => {
    const opened = await openStudy(PATH, { set });
    const { ranking } = await rankFixes(opened, { fixes: ['limits.sink=20 m/s', 'limits.sink=3 m/s'], flights: 500, reopen });
    const [lenient, same] = ranking.asked;
    expect(lenient.settings).toEqual(['limits.sink=20 m/s']);
    expect(lenient.gain.gain).toBeGreaterThan(0.05);
    // What lands within 3 m/s lands within 20 too: the same flights, judged otherwise.
    expect(lenient.gain.counts.secondOnly).toBe(0);
    expect(same.gain.counts.firstOnly + same.gain.counts.secondOnly).toBe(0);
  });

  it('says what is wrong with the setting by the option that asked for it, all of it at once', async () => {
    const opened = await openStudy(PATH, { set });
    const asked = rankFixes(opened, { fixes: ['phases.replay=perhaps', 'wind.sped=3'], flights: 500, reopen });
    await expect(asked).rejects.toThrow(/--fix phases\.replay=perhaps: phases\.replay: read "perhaps"/);
    await expect(asked).rejects.toThrow(/--fix wind\.sped=3: unknown path.* "wind\.speed"/);
  });
});
