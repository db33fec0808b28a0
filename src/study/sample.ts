/**
 * `inputs: { sample: learned.arrow }`: what was learnt of the vehicle at hand (alight learn), read and checked against
 * the study that draws from it. Draws nothing.
 */
import { type InputKey, isInputKey } from '../inputs/catalogue.ts';
import { LEVELS, type Level, type Stays } from '../inputs/stays.ts';
import type { InputDistributions } from '../inputs/varying.ts';
import { show } from './fields.ts';
import type { StudyFolder } from './files.ts';
import type { Findings, Path } from './findings.ts';
import { sampleScores } from './sampleScores.ts';
import type { StandingSample, Study } from './study.ts';

/** The key, beside those of inputs. */
export const SAMPLE = 'sample';

export const SAMPLE_SCHEMA = {
  anyOf: [
    { type: 'string', examples: ['learned.arrow'] },
    { type: 'object', description: 'as results folders hold it' },
  ],
  description: 'file of what alight learn found of the vehicle at hand: what stays with it is drawn from there',
};

/** How the table calls itself, and where it says what its scores mean. */
export const LEARNED_TABLE = 'learned';
export const PRIORS = 'priors';
const PARTS = 'alight.parts';
const MOST_PARTICLES = 20_000;
const MOST_PARTS = 1000;

/** As read; the priors say what its scores meant, null where they cannot be compared. */
export interface SampleRead {
  readonly sample: StandingSample;
  readonly priors: string | null;
}

/** @returns null when it had problems (said in the findings) */
export async function readSample(given: unknown, path: Path, folder: StudyFolder, findings: Findings): Promise<SampleRead | null> {
  if (typeof given === 'string') return fromFile(given, path, folder, findings);
  const sample = inPlace(given);
  if (sample !== null) return { sample, priors: null };
  findings.problem(path, `read ${show(given)}; expected the file that alight learn wrote. Write, for example, sample: learned.arrow.`);
  return null;
}

async function fromFile(name: string, path: Path, folder: StudyFolder, findings: Findings): Promise<SampleRead | null> {
  const file = await folder.bytes(name);
  const problem = (text: string): null => {
    findings.problem(path, `read "${name}": ${text}`);
    return null;
  };
  if ('problem' in file) return problem(file.problem);
  const { tableFromIPC } = await import('apache-arrow');
  let table: ReturnType<typeof tableFromIPC>;
  try {
    table = tableFromIPC(file.bytes);
  } catch {
    return problem('that is no Arrow file, or a damaged one; expected what alight learn wrote. Learn again.');
  }
  const { metadata } = table.schema;
  const listed = metadata.get(PARTS);
  if (metadata.get('alight.table') !== LEARNED_TABLE || listed === undefined) {
    return problem('that file holds something else; expected what alight learn wrote. Name learned.arrow.');
  }
  const parts = partsIn(JSON.parse(listed));
  const columns = parts?.map((_, c) => table.getChild(`score ${c}`));
  if (parts === null || columns === undefined || columns.some((column) => column === null)) {
    return problem('its columns are not those it lists; expected what alight learn wrote. Learn again.');
  }
  const scores = new Float32Array(table.numRows * parts.length);
  for (const [c, column] of columns.entries())
    for (let i = 0; i < table.numRows; i++) scores[i * parts.length + c] = Number(column?.get(i));
  const sample = checked({ particles: table.numRows, parts, scores: encoded(scores) });
  if (sample === null) return problem('its scores are damaged; expected finite numbers. Learn again.');
  return { sample, priors: metadata.get(`alight.${PRIORS}`) ?? '' };
}

function inPlace(given: unknown): StandingSample | null {
  if (typeof given !== 'object' || given === null) return null;
  const { particles, parts, scores } = given as Readonly<Record<string, unknown>>;
  const read = partsIn(parts);
  return typeof particles === 'number' && read !== null && typeof scores === 'string' ? checked({ particles, parts: read, scores }) : null;
}

function partsIn(given: unknown): StandingSample['parts'] | null {
  if (!Array.isArray(given) || given.length === 0 || given.length > MOST_PARTS) return null;
  const parts = given.map((part: unknown) => {
    const { input, level } = (part ?? {}) as Readonly<Record<string, unknown>>;
    const sound = typeof input === 'string' && isInputKey(input) && LEVELS.includes(level as Level) && level !== 'flight';
    return sound ? { input, level: level as Level } : null;
  });
  return parts.every((part) => part !== null) ? parts : null;
}

function checked(sample: StandingSample): StandingSample | null {
  const { particles, parts } = sample;
  if (!(Number.isInteger(particles) && particles >= 1 && particles <= MOST_PARTICLES)) return null;
  const scores = sampleScores(sample);
  return scores.length === particles * parts.length && scores.every(Number.isFinite) ? sample : null;
}

function encoded(scores: Float32Array): string {
  const bytes = Buffer.alloc(4 * scores.length);
  for (const [i, score] of scores.entries()) bytes.writeFloatLE(score, 4 * i);
  return bytes.toString('base64');
}

/** What scores of these inputs mean: a sample learnt under one prior says nothing under another. */
export function priorsText({ inputs, stays }: Pick<Study, 'inputs' | 'stays'>, keys: readonly InputKey[]): string {
  return JSON.stringify([...new Set(keys)].sort().map((key) => [key, inputs[key] ?? null, stays[key] ?? null]));
}

/** Notes what of the sample the study cannot draw, or reads otherwise than it was learnt. */
export function checkSample(
  { sample, priors }: SampleRead,
  inputs: InputDistributions,
  stays: Stays,
  path: Path,
  findings: Findings,
): void {
  for (const { input, level } of sample.parts) {
    if (stays[input]?.[level] !== undefined) continue;
    findings.problem(
      path,
      `read scores of ${input} that stay by ${level}; expected that of this study too. Keep its distribution and stays:, or learn again.`,
    );
    return;
  }
  const now = priorsText(
    { inputs, stays },
    sample.parts.map(({ input }) => input),
  );
  if (priors === null || priors === now) return;
  findings.problem(
    path,
    'read scores learnt under other distributions or stays: than this study has now; expected the same. Learn again with this study.',
  );
}
