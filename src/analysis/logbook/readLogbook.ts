/**
 * From a logbook file to a `Logbook`, against the study it is of: every problem at once, each with its place. Flies
 * nothing.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { UserError } from '../../errors.ts';
import { OUTPUTS, type OutputKey, type OutputRow } from '../../flight/outputs.ts';
import { CATALOGUE, INPUT_INDEX, type InputKey, type InputRow } from '../../inputs/catalogue.ts';
import { quantile } from '../../inputs/distributions.ts';
import { varies } from '../../inputs/varying.ts';
import { suggestion } from '../../maths/nearest.ts';
import { printable } from '../../printable.ts';
import { readDocument, type StudyDocument } from '../../study/document.ts';
import { checkQuantity, display, show } from '../../study/fields.ts';
import { readTextFile, studyFolder } from '../../study/files.ts';
import { Findings, type Path } from '../../study/findings.ts';
import { nominalValue } from '../../study/nominal.ts';
import { noteSchemaIssues } from '../../study/schemaIssues.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import type { Attempt, Having, Logbook, Observation, Setting } from './logbook.ts';
import { LOGBOOK_FILE, type SettingEntry } from './logbookFile.ts';
import { readMeasured, readOutput } from './sight.ts';

/** Opens a logbook file. @throws UserError with one line for every problem of the file */
export async function openLogbook(path: string, study: Study): Promise<Logbook> {
  const file = await readTextFile(path);
  if ('problem' in file) throw new UserError(`${path}: ${file.problem}`);
  const findings = new Findings();
  const document = readDocument(file.text.replace(/^\uFEFF/, ''), path, findings);
  if (document === undefined) throw new UserError(findings.problems.map((p) => `${p.place} ${p.text}`));
  const read = LOGBOOK_FILE.safeParse(document.value);
  if (!read.success) {
    noteSchemaIssues(read.error.issues, [], findings);
    throw new UserError(linesOf(findings, path, document));
  }
  const reader = new LogbookReader(study, path, document, findings);
  const logbook = reader.read(read.data);
  const folder = studyFolder(path, false);
  for (const [i, { log }] of logbook.attempts.entries()) {
    if (log === null) continue;
    const found = await folder.read(log);
    if ('problem' in found) findings.problem(['attempts', i, 'log'], `read ${show(log)}: ${found.problem}`);
  }
  if (findings.problems.length > 0) throw new UserError(linesOf(findings, path, document));
  return logbook;
}

/** In the order of the file. */
function linesOf({ problems }: Findings, name: string, document: StudyDocument): string[] {
  const lines = problems.map(({ path = [], onKey, text }) => {
    const { line, column } = document.place(path, onKey);
    const what = path.length === 0 ? 'the logbook' : path.join('.');
    return { line, column, text: printable(`${name}:${line}:${column} ${what}: ${text}`) };
  });
  return lines.sort((a, b) => a.line - b.line || a.column - b.column).map(({ text }) => text);
}

/** Draws farther out than this are not believed to be of the study's vehicle; with so many errors of the measurement. */
const LEAST_SHARE = 1e-6;
const ERRORS = 5;
/** Masses known exactly may lie so far from the study's. */
const OTHER_VEHICLE = 0.15;

/** What every rule has beside its kind's constants; bounds as in a study. */
const OF_EVERY_RULE = [
  { key: 'lead', unit: 's', low: 0, high: 5 },
  { key: 'tiltGuard', unit: 'rad', low: 1e-9, high: Math.PI },
] as const;

/** The day of the next attempt: nobody met it before. */
const TO_COME = 'a day to come';

class LogbookReader {
  readonly #study: Study;
  readonly #name: string;
  readonly #document: StudyDocument;
  readonly #findings: Findings;

  constructor(study: Study, name: string, document: StudyDocument, findings: Findings) {
    this.#study = study;
    this.#name = name;
    this.#document = document;
    this.#findings = findings;
  }

  read({ title, columns, misjudged, attempts, next }: ReturnType<typeof LOGBOOK_FILE.parse>): Logbook {
    let having: Having = { electronics: '1', airframe: '1', batch: '1', day: '1' };
    const names = new Set<string>();
    const all = attempts.map((entry, i): Attempt => {
      const path = ['attempts', i];
      const before = this.#findings.problems.length;
      const { setting, observations } = this.#setting(entry, path, having, misjudged);
      having = setting.having;
      const name = entry.name ?? `attempt ${i + 1}`;
      if (names.has(name))
        this.#findings.problem([...path, 'name'], `read ${show(name)} a second time; expected each name once. Rename it.`);
      names.add(name);
      const seen = this.#observed(entry.observed, [...path, 'observed'], misjudged);
      const both = [...observations, ...seen.observations];
      if (both.length === 0 && this.#findings.problems.length === before)
        this.#findings.problem(path, 'read nothing that was seen; expected one observation at least. Add it, or leave the attempt out.');
      return { name, ...setting, observations: both, notSeen: seen.notSeen, log: entry.log ?? null };
    });
    const last = this.#setting(next, ['next'], { ...having, day: TO_COME }, misjudged);
    for (const { key } of last.observations) {
      this.#findings.problem(
        ['next', 'set', key],
        'read a measured value; expected plain ones: the next attempt is still to come. Leave the error out.',
      );
    }
    return { title, columns: columns ?? null, attempts: all, next: last.setting };
  }

  #setting(
    entry: SettingEntry,
    path: Path,
    before: Having,
    misjudged: number,
  ): { readonly setting: Setting; readonly observations: readonly Observation[] } {
    const { electronics, airframe, batch, day } = entry;
    const names = this.#study.rules.map((rule) => rule.name);
    const rule = entry.rule === undefined ? this.#study.rules[0] : this.#study.rules.find(({ name }) => name === entry.rule);
    if (rule === undefined) {
      this.#findings.problem(
        [...path, 'rule'],
        `read ${show(entry.rule)}; expected one of the study’s rules: ${names.join(', ')}.${suggestion(String(entry.rule), names)}`,
      );
    }
    const pins: Partial<Record<InputKey, number>> = {};
    const observations: Observation[] = [];
    for (const [key, raw] of Object.entries(entry.set)) this.#set(key, raw, [...path, 'set', key], pins, observations, misjudged);
    return {
      setting: {
        rule: rule?.name ?? names[0],
        constants: rule === undefined ? {} : this.#constants(rule, entry.constants, [...path, 'constants']),
        pins,
        having: {
          electronics: electronics ?? before.electronics,
          airframe: airframe ?? before.airframe,
          batch: batch ?? before.batch,
          day: day ?? before.day,
        },
      },
      observations,
    };
  }

  #constants(rule: RuleChoice, given: Readonly<Record<string, unknown>>, path: Path): Record<string, number> {
    const known = [...ruleKind(rule.kind).constants, ...OF_EVERY_RULE];
    const read: Record<string, number> = {};
    for (const [key, raw] of Object.entries(given)) {
      const constant = known.find((one) => one.key === key);
      if (constant === undefined) {
        const keys = known.map((one) => one.key);
        this.#findings.problemOfKey(
          [...path, key],
          `unknown constant of ${rule.name}; expected one of ${keys.join(', ')}.${suggestion(key, keys)}`,
        );
        continue;
      }
      const value = checkQuantity(raw, constant.unit, { low: constant.low, high: constant.high });
      if ('value' in value) read[key] = value.value;
      else this.#findings.problem([...path, key], value.text);
    }
    return read;
  }

  /** One input that was set or measured. */
  #set(
    key: string,
    raw: unknown,
    path: Path,
    pins: Partial<Record<InputKey, number>>,
    observations: Observation[],
    misjudged: number,
  ): void {
    const row = CATALOGUE.find((one) => one.key === key);
    if (row === undefined) {
      this.#findings.problemOfKey(
        path,
        `unknown input; expected the key of an input (alight inputs lists them).${suggestion(key, INPUT_INDEX.keys())}`,
      );
      return;
    }
    const measured = typeof raw === 'string' && /±|\+\/-|\+-|^between\s/.test(raw);
    if (!measured) {
      const value = checkQuantity(raw, row.unit, { low: row.low, high: row.high });
      if ('text' in value) this.#findings.problem(path, value.text);
      else {
        this.#sameVehicle(row, value.value, path);
        pins[row.key] = value.value;
      }
      return;
    }
    const distribution = this.#study.inputs[row.key];
    if (distribution === undefined || !varies(distribution)) {
      this.#findings.problem(
        path,
        `read ${show(raw)} of an input that the study does not vary; expected a plain value, or a distribution in the study. Leave the error out.`,
      );
      return;
    }
    if (row.type === 'yesNo') {
      this.#findings.problem(path, `read ${show(raw)}; expected 0 or 1. Leave the error out.`);
      return;
    }
    const read = readMeasured(raw, row.unit, row);
    if (!('sight' in read)) {
      this.#findings.problem(path, 'problem' in read ? read.problem : 'expected a value.');
      return;
    }
    const { sight } = read;
    const value = quantile(distribution);
    const slack = sight.kind === 'value' ? ERRORS * sight.error : 0;
    const [low, high] = sight.kind === 'within' ? [sight.low, sight.high] : sight.kind === 'value' ? [sight.value, sight.value] : [0, 0];
    const [least, most] = [value(LEAST_SHARE), value(1 - LEAST_SHARE)];
    if (row.circle !== true && (high < least - slack || low > most + slack)) {
      this.#findings.problem(
        path,
        `read ${show(raw)}; expected what the study’s vehicle can have, ${display(least, row.unit)} to ${display(most, row.unit)} but for one draw in a million. Is it another vehicle’s logbook? Mend the value, or the study.`,
      );
      return;
    }
    observations.push({ key: row.key, sight, misjudged, place: this.#placeOf(path), words: String(raw) });
  }

  #sameVehicle(row: InputRow, value: number, path: Path): void {
    if (row.unit !== 'kg') return;
    const study = nominalValue(row, this.#study);
    if (Math.abs(value - study) <= OTHER_VEHICLE * study) return;
    this.#findings.problem(
      path,
      `read ${display(value, row.unit)}, but the study’s ${row.key} is ${display(study, row.unit)}; expected the same within ${100 * OTHER_VEHICLE} %. Is it another vehicle’s logbook? Mend the value, or the study.`,
    );
  }

  #observed(
    given: Readonly<Record<string, unknown>>,
    path: Path,
    misjudged: number,
  ): { readonly observations: readonly Observation[]; readonly notSeen: readonly OutputKey[] } {
    const observations: Observation[] = [];
    const notSeen: OutputKey[] = [];
    for (const [key, raw] of Object.entries(given)) {
      const place = [...path, key];
      const row: OutputRow | undefined = OUTPUTS.find((one) => one.key === key && one.type !== 'reason');
      if (row === undefined) {
        const keys = OUTPUTS.map((one) => one.key);
        const input = INPUT_INDEX.has(key) ? ' That is an input: put it under set.' : suggestion(key, keys);
        this.#findings.problemOfKey(place, `unknown output; expected the key of an output (alight outputs lists them).${input}`);
        continue;
      }
      const own = ownChance(raw);
      const read = readOutput(own.raw, row);
      if ('problem' in read) this.#findings.problem(place, read.problem);
      else if (own.problem !== null) this.#findings.problem(place, own.problem);
      else if ('notSeen' in read) notSeen.push(row.key);
      else
        observations.push({
          key: row.key,
          sight: read.sight,
          misjudged: own.misjudged ?? misjudged,
          place: this.#placeOf(place),
          words: String(own.raw),
        });
    }
    return { observations, notSeen };
  }

  #placeOf(path: Path): string {
    const { line, column } = this.#document.place(path, false);
    return `${this.#name}:${line}:${column}`;
  }
}

/** `{ was: landed, misjudged: 10 % }`: a sight with a chance of its own to be wrong. */
function ownChance(raw: unknown): { readonly raw: unknown; readonly misjudged: number | null; readonly problem: string | null } {
  if (typeof raw !== 'object' || raw === null || !('was' in raw)) return { raw, misjudged: null, problem: null };
  const { was, misjudged, ...others } = raw as Readonly<Record<string, unknown>>;
  const read = checkQuantity(misjudged, '', { low: 1e-6, high: 0.5, example: '10 %' });
  if ('text' in read) return { raw: was, misjudged: null, problem: `misjudged: ${read.text}` };
  const more = Object.keys(others);
  return {
    raw: was,
    misjudged: read.value,
    problem: more.length === 0 ? null : `unknown key ${more[0]}; expected was and misjudged. Remove it.`,
  };
}
