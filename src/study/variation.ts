/** The `inputs` section of a study file: one distribution for each input that varies, wildcards spelled out. */

import { CATALOGUE, INPUT_INDEX, type InputKey } from '../inputs/catalogue.ts';
import type { Distribution } from '../inputs/distributions.ts';
import type { InputDistributions } from '../inputs/varying.ts';
import { suggestion } from '../maths/nearest.ts';
import { readDistribution, readFixed } from './distribution.ts';
import { distributionField, type FileDistribution } from './distributionField.ts';
import { MOST_UNKNOWN } from './fields.ts';
import type { StudyFolder } from './files.ts';
import type { Findings } from './findings.ts';
import { ineffectiveBecause } from './ineffectiveInputs.ts';
import { type NominalStudy, nominalValue } from './nominal.ts';
import { noteSchemaIssues } from './schemaIssues.ts';
import { matcher } from './wildcard.ts';

interface Entry {
  readonly name: string;
  readonly given: unknown;
  /** Read once, however many inputs the name stands for; undefined for plain values. */
  readonly distribution: FileDistribution | undefined;
}

/**
 * Reads every entry; what is wrong goes to `findings`.
 * @param study undefined while the rest of the file has problems: distributions that hang on a nominal value are then
 * left out
 * @returns distributions by input key, in the catalogue's order
 */
export async function readVariation(
  section: Readonly<Record<string, unknown>>,
  study: NominalStudy | undefined,
  folder: StudyFolder,
  findings: Findings,
): Promise<InputDistributions> {
  const chosen = new Map<string, Entry>();
  let unknown = 0;
  for (const [name, given] of Object.entries(section)) {
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
    if (distribution !== undefined) found[row.key] = distribution;
  }
  return found;
}

function parse(name: string, given: unknown, findings: Findings): Entry | undefined {
  if (typeof given !== 'object' || given === null) return { name, given, distribution: undefined };
  const read = distributionField.safeParse(given);
  if (read.success) return { name, given, distribution: read.data };
  noteSchemaIssues(read.error.issues, ['inputs', name], findings);
  return undefined;
}
