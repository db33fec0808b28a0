/** The `inputs` section of a study file: one distribution for each input that varies, wildcards spelled out. */

import { CATALOGUE, INPUT_INDEX, type InputKey } from '../inputs/catalogue.ts';
import type { Distribution } from '../inputs/distributions.ts';
import type { Shares, Stays } from '../inputs/stays.ts';
import type { InputDistributions } from '../inputs/varying.ts';
import { suggestion } from '../maths/nearest.ts';
import { readDistribution, readFixed } from './distribution.ts';
import { distributionField, type FileDistribution } from './distributionField.ts';
import { MOST_UNKNOWN } from './fields.ts';
import type { StudyFolder } from './files.ts';
import type { Findings } from './findings.ts';
import { ineffectiveBecause } from './ineffectiveInputs.ts';
import { type NominalStudy, nominalValue } from './nominal.ts';
import { checkSample, readSample, SAMPLE } from './sample.ts';
import { noteSchemaIssues } from './schemaIssues.ts';
import type { StandingSample } from './study.ts';
import { matcher } from './wildcard.ts';

interface Entry {
  readonly name: string;
  readonly given: unknown;
  /** Read once, however many inputs the name stands for; undefined for plain values. */
  readonly distribution: FileDistribution | undefined;
  /** How long a draw stays; undefined where the file does not say. */
  readonly stays: Shares | undefined;
}

/** How the inputs vary, and what of that stays from flight to flight. */
export interface Variation {
  readonly inputs: InputDistributions;
  /** Only of inputs that vary and do not draw all anew on every flight. */
  readonly stays: Stays;
  /** Learnt of the vehicle at hand; null without. */
  readonly sample: StandingSample | null;
}

/**
 * Reads every entry; what is wrong goes to `findings`.
 * @param study undefined while the rest of the file has problems: distributions that hang on a nominal value are then
 * left out
 * @returns distributions and what stays by input key, in the catalogue's order
 */
export async function readVariation(
  section: Readonly<Record<string, unknown>>,
  study: NominalStudy | undefined,
  folder: StudyFolder,
  findings: Findings,
): Promise<Variation> {
  const chosen = new Map<string, Entry>();
  let unknown = 0;
  for (const [name, given] of Object.entries(section)) {
    if (name === SAMPLE) continue;
    const matches = matcher(name);
    const keys = CATALOGUE.filter((row) => matches(row.key)).map((row) => row.key);
    const pattern = name.includes('*');
    if (keys.length === 0) {
      if (++unknown > MOST_UNKNOWN) continue;
      const near = suggestion(name, INPUT_INDEX.keys());
      findings.problemOfKey(['inputs', name], `unknown input; expected the key of an input, or a name with * that some keys match.${near}`);
      continue;
    }
    const entry = parse(name, given, findings);
    if (entry === undefined) continue;
    for (const key of keys) {
      // a pattern stands for what the vehicle has
      if (pattern && study !== undefined && ineffectiveBecause(key, study) !== undefined) continue;
      const other = chosen.get(key);
      if (other === undefined || other.name.includes('*') !== pattern) {
        // a key of its own goes before a pattern
        if (other === undefined || !pattern) chosen.set(key, entry);
      } else {
        findings.problemOfKey(
          ['inputs', name],
          `read both ${other.name} and ${name} for ${key}; expected one. Give ${key} an entry of its own, or narrow one.`,
        );
      }
    }
  }
  if (unknown > MOST_UNKNOWN) findings.problem(['inputs'], `read ${unknown - MOST_UNKNOWN} more unknown inputs; mend these first.`);
  const found: Partial<Record<InputKey, Distribution>> = {};
  const stays: Partial<Record<InputKey, Shares>> = {};
  for (const row of CATALOGUE) {
    const entry = chosen.get(row.key);
    if (entry === undefined) continue;
    const path = ['inputs', entry.name];
    const distribution =
      entry.distribution === undefined
        ? readFixed(entry.given, path, row, findings)
        : await readDistribution(entry.distribution, path, {
            row,
            nominal: study && nominalValue(row, study),
            folder,
            findings,
          });
    if (distribution === undefined) continue;
    found[row.key] = distribution;
    // What does not vary has nothing to keep, and fresh draws are what an input does anyway.
    if (distribution.kind !== 'fixed' && entry.stays !== undefined && entry.stays.flight !== 1) stays[row.key] = entry.stays;
  }
  const sample = section[SAMPLE] === undefined ? null : await readSample(section[SAMPLE], ['inputs', SAMPLE], folder, findings);
  if (sample !== null && study !== undefined) checkSample(sample, found, stays, ['inputs', SAMPLE], findings);
  return { inputs: found, stays, sample: sample === null ? null : sample.sample };
}

function parse(name: string, given: unknown, findings: Findings): Entry | undefined {
  if (typeof given !== 'object' || given === null) return { name, given, distribution: undefined, stays: undefined };
  const read = distributionField.safeParse(given);
  if (read.success) {
    const { stays, ...distribution } = read.data;
    return { name, given, distribution, stays };
  }
  noteSchemaIssues(read.error.issues, ['inputs', name], findings);
  return undefined;
}
