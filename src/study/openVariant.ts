/**
 * A variant of a study opened as a study of its own. Seed, design and number of flights are those of the study that
 * names it, so that a flight number means the same luck in both: independent draws and Latin hypercubes are keyed by
 * the input, so every input that both vary is drawn alike in normal scores, whatever one has beside; Sobol' points are,
 * too, as far as both vary the same inputs (sampling/design.ts). In-flight noise is keyed by what it disturbs. A
 * correlation that only one has moves the draws of the inputs it ties.
 */
import { UserError } from '../errors.ts';
import { readDocument } from './document.ts';
import { studyFolder } from './files.ts';
import { Findings } from './findings.ts';
import { type OpenedStudy, type OpenOptions, openStudy, readStudy, studyFileText } from './load.ts';
import { AS_IT_IS, BASE, type Variant, variantIn } from './variants.ts';

export interface OpenedVariant {
  readonly variant: Variant;
  readonly opened: OpenedStudy;
}

/**
 * Opens a variant; `base` is the study as it is. Settings go in before the variant's own replacements.
 * @throws UserError with one line for every problem of the study, of the variant, or of the file it is from
 */
export async function openVariant(path: string, name: string, options: OpenOptions = {}): Promise<OpenedVariant> {
  const { set = [], allowOutside = false, replacements: more = [] } = options;
  // Whatever is wrong with the study itself is said first.
  const base = await openStudy(path, options);
  if (name === BASE) return { variant: AS_IT_IS, opened: base };
  const text = await studyFileText(path);
  const findings = new Findings();
  const document = readDocument(text.replace(/^\uFEFF/, ''), path, findings);
  const variant = document && variantIn(document.value, name, path, findings);
  if (document === undefined || variant === undefined) throw new UserError(findings.problems.map((p) => `${p.place}: ${p.text}`));
  const placeOf = (key: string): string => {
    const { line, column } = document.place(['variants', name, key], false);
    return `${path}:${line}:${column} variants.${name}.${key}`;
  };
  const own = variant.replacements.map(({ name: key, value }) => ({ name: key, value, option: placeOf(key) }));
  const replacements = [...own, ...more];
  const folder = studyFolder(path, allowOutside);
  if (variant.from === null) return { variant, opened: await readStudy(text, path, folder, set, { replacements, luck: null }) };
  const other = await folder.read(variant.from);
  if ('problem' in other) throw new UserError(`${placeOf('from')}: read "${variant.from}": ${other.problem}`);
  const { seed, flights, design } = document.value as Readonly<Record<string, unknown>>;
  const beside = studyFolder(other.shown, allowOutside);
  const opened = await readStudy(other.text, other.shown, beside, set, { replacements, luck: { seed, flights, design } });
  return { variant, opened };
}

/** `path=value` as a person would write it, for those who read what a variant is. */
export function replacementWords({ replacements }: Variant): string[] {
  return replacements.map(({ name, value }) => `${name}=${typeof value === 'string' ? value : JSON.stringify(value)}`);
}
