/**
 * From a study file to a `Study`: reads, replaces what `--set` says, checks everything, and reports every problem at
 * once. The order of the work is here; each step has a file of its own.
 */
import { UserError } from '../errors.ts';
import { printable } from '../printable.ts';
import { assemble } from './assemble.ts';
import { readCorrelations } from './correlations.ts';
import { crossCheck } from './crossChecks.ts';
import { readCurve } from './curve.ts';
import { readDocument, type StudyDocument } from './document.ts';
import { readTextFile, type StudyFolder, studyFolder } from './files.ts';
import { type Finding, Findings, type Path } from './findings.ts';
import { freezeDeep } from './freeze.ts';
import { studyPaths } from './jsonSchema.ts';
import { nominalWarnings } from './nominalWarnings.ts';
import { applyGiven, type Given, type Override, readSetting } from './override.ts';
import { resolvedYaml } from './resolved.ts';
import { STUDY_FILE } from './schema.ts';
import { noteSchemaIssues } from './schemaIssues.ts';
import { checkCorrelatedStays } from './stays.ts';
import type { Study } from './study.ts';
import { readVariation } from './variation.ts';

export interface OpenOptions {
  /** Replacements `path=value`, applied in order. */
  readonly set?: readonly string[];
  /** Let the study name files outside its own folder. */
  readonly allowOutside?: boolean;
  /** Replacements read already, put in after the settings. */
  readonly replacements?: readonly Given[];
}

/** Another design read in place of the file's own (openVariant.ts). */
export interface InPlace {
  /** Put in after the settings. */
  readonly replacements: readonly Given[];
  /** Top keys that stand as given whatever the text says; undefined: left out. Null leaves all as they are. */
  readonly luck: Readonly<Record<string, unknown>> | null;
}

export interface OpenedStudy {
  /** Frozen to the bottom. */
  readonly study: Study;
  /** One line each: place, what was seen, likely cause, remedy. */
  readonly warnings: readonly string[];
  /** Those of the warnings that foretell what the nominal flight, if it is flown, tells better. */
  readonly foretold: readonly string[];
  /** The study with everything stated ({@link resolvedYaml}); made when it is first asked for. */
  readonly text: string;
}

/** Opens a study file. @throws UserError with one line for every problem of the file, its curves and its bench data. */
export async function openStudy(path: string, options: OpenOptions = {}): Promise<OpenedStudy> {
  const { set = [], allowOutside = false, replacements = [] } = options;
  return readStudy(await studyFileText(path), path, studyFolder(path, allowOutside), set, { replacements, luck: null });
}

/** @throws UserError when it cannot be read */
export async function studyFileText(path: string): Promise<string> {
  const file = await readTextFile(path);
  if ('problem' in file) throw new UserError(`${path}: ${file.problem}`);
  return file.text;
}

/**
 * Reads the text of a study.
 * @param name the file's name as problems print it   @param folder where the files it names are found
 * @throws UserError with one line for every problem
 */
export async function readStudy(
  text: string,
  name: string,
  folder: StudyFolder,
  settings: readonly string[] = [],
  inPlace: InPlace = { replacements: [], luck: null },
): Promise<OpenedStudy> {
  const findings = new Findings();
  const document = readDocument(text.replace(/^\uFEFF/, ''), name, findings);
  if (document === undefined) throw new UserError(findings.problems.map((p) => `${p.place} ${p.text}`));
  const given = [...settings.flatMap((setting) => readSetting(setting, findings) ?? []), ...inPlace.replacements];
  const { value, overrides } = applyGiven(withLuck(document.value, inPlace.luck), given, studyPaths, findings);
  const print = printer(name, document, overrides);
  const study = await check(value, folder, findings);
  if (findings.problems.length > 0 || study === undefined) throw new UserError(print(findings.problems));
  const foretold = print(findings.warnings.filter((finding) => finding.foretold));
  let made: string | undefined;
  return {
    study: freezeDeep(study),
    warnings: print(findings.warnings),
    foretold,
    get text() {
      made ??= resolvedYaml(study);
      return made;
    },
  };
}

function withLuck(value: unknown, luck: InPlace['luck']): unknown {
  return luck === null || typeof value !== 'object' || value === null || Array.isArray(value) ? value : { ...value, ...luck };
}

async function check(value: unknown, folder: StudyFolder, findings: Findings): Promise<Study | undefined> {
  const read = STUDY_FILE.safeParse(value);
  if (!read.success) noteSchemaIssues(read.error.issues, [], findings);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return undefined;
  const curves = {
    ascent: await readCurve(at(value, 'ascent', 'curve'), ['ascent', 'curve'], folder, findings),
    landing: await readCurve(at(value, 'landing', 'curve'), ['landing', 'curve'], folder, findings),
  };
  const { ascent, landing } = curves;
  const base = read.success && ascent && landing ? assemble(read.data, { ascent, landing }, findings) : undefined;
  const before = findings.problems.length;
  const variation = await readVariation(mapOf(at(value, 'inputs')), base, folder, findings);
  const complete = base !== undefined && findings.problems.length === before;
  if (!read.success) return undefined;
  const written = read.data.correlations.map(({ between: [a, b], rank }) => ({ a, b, rank }));
  const correlations = readCorrelations(written, complete ? variation.inputs : undefined, findings);
  if (base === undefined) return undefined;
  const study = { ...base, ...variation, correlations };
  checkCorrelatedStays(correlations, variation.stays, findings);
  crossCheck(study, findings);
  if (findings.problems.length === 0) nominalWarnings(study, findings);
  return study;
}

function mapOf(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Record<string, unknown>) : {};
}

function at(value: unknown, ...path: readonly string[]): unknown {
  return path.reduce((holder: unknown, key) => mapOf(holder)[key], value);
}

/** Lines that are shown at once: nobody mends more before trying again. */
const MOST_SHOWN = 100;

/** Lines in the order of the file, those of other files and of options last, each once. */
function printer(name: string, document: StudyDocument, overrides: readonly Override[]): (findings: readonly Finding[]) => string[] {
  // an option speaks for what lies below its place, and for the entry right around it
  const overriding = (path: Path) =>
    overrides.findLast((o) => {
      const shared = Math.min(o.path.length, path.length);
      return (
        (path.length >= o.path.length || path.length > 1) && o.path.slice(0, shared).every((step, i) => String(step) === String(path[i]))
      );
    });
  return (findings) => {
    const lines = findings.map(({ path, place, onKey, text }) => {
      if (path === undefined) return { line: Number.POSITIVE_INFINITY, column: 0, text: `${place}: ${text}` };
      const option = overriding(path)?.option;
      const dotted = path.length === 0 ? 'the study' : path.join('.');
      if (option !== undefined) return { line: Number.POSITIVE_INFINITY, column: 1, text: `${option}: ${dotted}: ${text}` };
      const { line, column } = document.place(path, onKey);
      return { line, column, text: `${name}:${line}:${column} ${dotted}: ${text}` };
    });
    lines.sort((a, b) => (a.line === b.line ? 0 : a.line - b.line) || a.column - b.column);
    const all = [...new Set(lines.map((line) => printable(line.text)))];
    const more = all.length - MOST_SHOWN;
    return more > 0 ? [...all.slice(0, MOST_SHOWN), `${name}: and ${more} more; mend these first`] : all;
  };
}
