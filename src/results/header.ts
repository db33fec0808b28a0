/**
 * What a results file says of its own making: the study in full, seed, design, rules, program. Written as text metadata
 * of the file and read back from it. Holds nothing that differs between two machines flying the same study.
 */
import { readFileSync } from 'node:fs';
import { UserError } from '../errors.ts';
import { packageFile } from '../packageFile.ts';
import { printable } from '../printable.ts';
import type { DesignKind } from '../study/study.ts';
import { studyHash } from '../study/studyHash.ts';

/** Version of the flights file; raised when a reader of the older one would misread the newer. */
export const FORMAT_VERSION = 2;

export interface FlightsHeader {
  readonly title: string;
  /** The resolved study as YAML: defaults filled in, overrides applied. */
  readonly study: string;
  readonly seed: string;
  readonly design: DesignKind;
  /** Flights asked for (per rule); a stopping rule or an interruption leaves fewer rows. */
  readonly flightsAsked: number;
  /** Number of the first flight. */
  readonly firstFlight: number;
  /** Names of the rules flown, each once. */
  readonly rules: readonly string[];
  /** `key=value` given on the command line over the study's own. */
  readonly overrides: readonly string[];
  /**
   * Inputs that are the same on every flight, by key: their columns hold the value once. Left out: none are known to
   * be.
   */
  readonly constants?: Readonly<Record<string, number>>;
}

/** A header as read back, with what the writer adds to it. */
export interface ReadHeader extends FlightsHeader {
  /** sha256 of the resolved study's text. */
  readonly studyHash: string;
  /** Version of the program that flew. */
  readonly programVersion: string;
}

const DESIGNS: readonly DesignKind[] = ['independent', 'latinHypercube', 'sobol'];

/** This program's version, as its package says. */
export function programVersion(): string {
  const text = readFileSync(packageFile('package.json'), 'utf8');
  const { version } = JSON.parse(text) as { version: string };
  return version;
}

export function headerMetadata(header: FlightsHeader): Map<string, string> {
  return new Map([
    ['alight.format', String(FORMAT_VERSION)],
    ['alight.version', programVersion()],
    ['alight.title', header.title],
    ['alight.study', header.study],
    ['alight.studyHash', studyHash(header.study)],
    ['alight.seed', header.seed],
    ['alight.design', header.design],
    ['alight.flightsAsked', String(header.flightsAsked)],
    ['alight.firstFlight', String(header.firstFlight)],
    ['alight.rules', JSON.stringify(header.rules)],
    ['alight.overrides', JSON.stringify(header.overrides)],
  ]);
}

/**
 * Reads a header back. Its words are made printable; the study in it goes through the same checks as any other.
 * @param path named in the complaints
 * @throws UserError when the file is not ours, of another format version, or its header is incomplete or altered.
 */
export function readHeader(metadata: ReadonlyMap<string, string>, path: string): ReadHeader {
  const format = metadata.get('alight.format');
  if (format === undefined) throw new UserError(`${path}: an Arrow file, but not results of alight`);
  if (format !== String(FORMAT_VERSION)) {
    throw new UserError(`${path}: results of version ${format}; this program reads ${FORMAT_VERSION}`);
  }
  const text = (key: string): string => {
    const value = metadata.get(`alight.${key}`);
    if (value === undefined) throw new UserError(`${path}: damaged: its header lacks ${key}`);
    return value;
  };
  const damaged = (key: string) => new UserError(`${path}: damaged: its header says ${key} ${JSON.stringify(text(key))}`);
  const count = (key: string, least: number): number => {
    const value = Number(text(key));
    if (!Number.isSafeInteger(value) || value < least) throw damaged(key);
    return value;
  };
  const list = (key: string): string[] => {
    let value: unknown;
    try {
      value = JSON.parse(text(key));
    } catch (error) {
      if (error instanceof SyntaxError) throw damaged(key);
      throw error;
    }
    if (!Array.isArray(value) || !value.every((v) => typeof v === 'string')) throw damaged(key);
    return value.map(printable);
  };
  const design = DESIGNS.find((d) => d === text('design'));
  if (design === undefined) throw damaged('design');
  const study = text('study');
  if (studyHash(study) !== text('studyHash')) throw new UserError(`${path}: damaged: the study in it does not match its hash`);
  return {
    title: printable(text('title')),
    study,
    studyHash: text('studyHash'),
    seed: printable(text('seed')),
    design,
    flightsAsked: count('flightsAsked', 0),
    firstFlight: count('firstFlight', 1),
    rules: list('rules'),
    overrides: list('overrides'),
    programVersion: printable(text('version')),
  };
}
