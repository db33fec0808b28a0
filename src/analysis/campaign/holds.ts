/**
 * Which standing unknown matters: the part of an input that stays held at its centre, as if it had been measured and
 * corrected, on the luck of campaigns without. What is fresh on every flight stays fresh: no measuring takes it away.
 */
import type { Session } from '../../fleet/session.ts';
import { campaignsOf } from '../../fleet/work.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { scaleCircularSpread } from '../../inputs/circularSpread.ts';
import { correlatedGroups } from '../../inputs/correlations.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { LEVELS, type Level } from '../../inputs/stays.ts';
import type { Study } from '../../study/study.ts';
import { CampaignCollector, type FlownCampaign } from './campaignCollector.ts';
import { LEVEL } from './firstLanding.ts';
import { holdsFinding } from './holdsFinding.ts';
import { type Rival, rivalsOf } from './rivals.ts';

/** Inputs held together. */
export interface Subject {
  readonly name: string;
  readonly keys: readonly InputKey[];
  /** Levels at which any of them stays. */
  readonly levels: readonly Level[];
}

export interface Held extends Rival {
  readonly keys: readonly string[];
  readonly levels: readonly Level[];
}

export interface Holds {
  /** Of the intervals of attempts saved, all together. */
  readonly level: number;
  /** Most attempts saved first. */
  readonly held: readonly Held[];
  /** Inputs that stay but have no centre to be held at: directions all round. */
  readonly centreless: readonly string[];
  readonly finding: string;
}

/** Staying inputs by the catalogue's groups, correlated ones joined. */
export function holdSubjects(study: Study): { readonly subjects: readonly Subject[]; readonly centreless: readonly InputKey[] } {
  const staying = (Object.keys(study.stays) as InputKey[]).filter((key) => levelsOf(study, key).length > 0);
  const centreless = staying.filter((key) => !hasCentre(study, key));
  const groups = new Map<string, InputKey[]>();
  for (const key of staying) {
    if (centreless.includes(key)) continue;
    const { group } = CATALOGUE[inputIndex(key)];
    groups.set(group, [...(groups.get(group) ?? []), key]);
  }
  for (const { columns } of correlatedGroups(study.correlations)) {
    const tied = columns.map((column) => CATALOGUE[column].key);
    const touched = [...groups].filter(([, keys]) => keys.some((key) => tied.includes(key)));
    if (touched.length < 2) continue;
    for (const [name] of touched) groups.delete(name);
    groups.set(
      touched.map(([name]) => name).join(' + '),
      touched.flatMap(([, keys]) => keys),
    );
  }
  const subjects = [...groups].map(([name, keys]) => ({
    name,
    keys,
    levels: LEVELS.filter((level) => keys.some((key) => levelsOf(study, key).includes(level))),
  }));
  return { subjects, centreless };
}

/** At which something of it stays. */
function levelsOf(study: Study, key: InputKey): Level[] {
  const shares = study.stays[key] ?? {};
  return LEVELS.filter((level) => level !== 'flight' && shares[level] !== undefined);
}

function hasCentre(study: Study, key: InputKey): boolean {
  if (CATALOGUE[inputIndex(key)].circle !== true) return true;
  return scaleCircularSpread(study.inputs[key] as Distribution, 0) !== null;
}

/** @param base campaigns with nothing held   @param flyAll as those were flown */
export async function flyHolds(
  session: Session,
  study: Study,
  rule: string,
  base: readonly FlownCampaign[],
  campaigns: number,
  flyAll: boolean,
): Promise<{ readonly holds: Holds; readonly attempts: number; readonly interrupted: boolean }> {
  const { subjects, centreless } = holdSubjects(study);
  const flown: { readonly name: string; readonly campaigns: readonly FlownCampaign[] }[] = [];
  let interrupted = false;
  let attempts = 0;
  for (const { name, keys } of subjects) {
    if (interrupted) break;
    const collector = new CampaignCollector(false);
    const work = campaignsOf(study, { rule, flyAll, held: keys }, `${name} held`);
    const report = await session.fly(work, { count: campaigns, onBatch: (batch) => collector.add(batch) });
    interrupted = report.stoppedBy === 'interrupted';
    attempts += collector.attempts;
    flown.push({ name, campaigns: collector.campaigns });
  }
  const held = rivalsOf(base, flown, study.campaign)
    .map((rival): Held => {
      const subject = subjects.find(({ name }) => name === rival.name);
      return { ...rival, keys: subject?.keys ?? [], levels: subject?.levels ?? [] };
    })
    .sort((a, b) => b.saved.value - a.saved.value);
  return { holds: { level: LEVEL, held, centreless, finding: holdsFinding(held) }, attempts, interrupted };
}
