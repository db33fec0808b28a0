/** Every command that flies and keeps results, as small as its analysis allows, and what it leaves. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { campaignStudy } from '../../src/analysis/campaign/campaignStudy.ts';
import { compareRules } from '../../src/analysis/compare/compareRules.ts';
import { compareVariants } from '../../src/analysis/designs/compareVariants.ts';
import { sweepStudy } from '../../src/analysis/designs/sweepStudy.ts';
import type { FlyingOptions } from '../../src/analysis/flights/keptResults.ts';
import { flyStudy } from '../../src/analysis/fly/flyStudy.ts';
import { rankFixes } from '../../src/analysis/rank/rankFixes.ts';
import { rankSobol } from '../../src/analysis/rank/rankSobol.ts';
import { readPolicies } from '../../src/analysis/shift/correction.ts';
import { tuneRule } from '../../src/analysis/tune/tuneRule.ts';
import { type OpenedStudy, openStudy } from '../../src/study/load.ts';

const STUDY = 'studies/thistledown.yaml';

/** A quarter of the ticks a second is a quarter of the time a flight takes; nothing here hangs on how fine they are. */
const COARSE = 'computer.rate=25 Hz';

/** The demo study with these settings, flown coarsely. */
export function demoWith(...set: string[]): Promise<OpenedStudy> {
  return openStudy(STUDY, { set: [COARSE, ...set] });
}

/** Every kind of work that a command makes of flights: stretches, blocks, looks, searches that go by what they found. */
export const EVERY_COMMAND: Readonly<Record<string, (options: FlyingOptions) => Promise<unknown>>> = {
  fly: async (options) => flyStudy(await demoWith('flights=120'), options),
  'fly until narrow': async (options) => flyStudy(await demoWith('flights=2000', 'design=independent'), { ...options, halfWidth: 0.045 }),
  'fly retuned': async (options) => flyStudy(await demoWith('flights=500'), { ...options, retune: true, rule: 'fixed-height' }),
  compare: async (options) => compareRules(await demoWith('flights=60'), options),
  variants: (options) => compareVariants(STUDY, { ...options, variants: ['light'], asProgrammed: true, overrides: ['flights=60'] }),
  sweep: (options) => sweepStudy(STUDY, { ...options, over: ['wind.speed=1,4m/s'], asProgrammed: true, overrides: ['flights=60'] }),
  campaign: async (options) => campaignStudy(await demoWith('campaign.attempts=4'), { ...options, campaigns: 60 }),
  'campaign policies': async (options) =>
    campaignStudy(await demoWith('campaign.attempts=2'), { ...options, campaigns: 12, policies: readPolicies('harmonic,weighted') }),
  'rank fixes': async (options) =>
    rankFixes(await demoWith('flights=60'), {
      ...options,
      fixes: ['gusts=off', 'wind.speed=half', 'phases.replay=on'],
      reopen: (given) => openStudy(STUDY, { set: [COARSE, 'flights=60'], replacements: given }),
    }),
  'rank by variance': async (options) => rankSobol(await demoWith(), { ...options, size: 256, groups: ['all=*'] }),
  tune: async (options) => tuneRule(await demoWith(), { ...options, rule: 'fixed-height', budget: 3000 }),
};

/** All files of a folder but what says how it went on its machine. */
export function filesOf(folder: string): Record<string, Buffer> {
  const names = readdirSync(folder).filter((name) => name !== 'run.json');
  return Object.fromEntries(names.sort().map((name) => [name, readFileSync(join(folder, name))]));
}
