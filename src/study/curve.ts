/**
 * A motor's thrust curve as a study gives it, points in place or a CSV file, checked. Does not know the motor around
 * it.
 */
import { z } from 'zod';
import { readColumns } from './csv.ts';
import { show } from './fields.ts';
import type { StudyFolder } from './files.ts';
import type { Findings, Path } from './findings.ts';
import type { ThrustCurve } from './study.ts';
import { readQuantity } from './units.ts';

/** In a study file: the name of a CSV file, or a list of [time, thrust]; {@link readCurve} reads it. */
export const curveField = z.unknown().meta({
  description:
    'thrust against time: a CSV file beside the study with the header time_s,thrust_N, or points [[time, thrust], ...]; linear between the points',
  anyOf: [
    { type: 'string', description: 'CSV file with the header time_s,thrust_N' },
    {
      type: 'array',
      minItems: 2,
      items: { type: 'array', minItems: 2, maxItems: 2, items: { type: ['number', 'string'] } },
    },
  ],
  examples: [
    'ascent.csv',
    [
      ['0 s', '0 N'],
      ['0.1 s', '18 N'],
      ['2.4 s', '0 N'],
    ],
  ],
});

/** N and s: beyond any motor of a model; a slip of the pen. */
const MOST_THRUST = 100_000;
const MOST_TIME = 1000;

interface CurvePoint {
  readonly time: number;
  readonly thrust: number;
  readonly problem: (text: string) => void;
}

/**
 * @param raw undefined when the file has none, which the schema says
 * @returns undefined when anything was wrong (said in `findings`).
 */
export async function readCurve(raw: unknown, path: Path, folder: StudyFolder, findings: Findings): Promise<ThrustCurve | undefined> {
  if (raw === undefined) return undefined;
  const before = findings.problems.length;
  const points = typeof raw === 'string' ? await fromFile(raw, path, folder, findings) : fromList(raw, path, findings);
  if (points === undefined || findings.problems.length > before) return undefined;
  checkPoints(points, path, findings);
  if (findings.problems.length > before) return undefined;
  warnOfEnds(points, path, findings);
  return { time: points.map((p) => p.time), thrust: points.map((p) => p.thrust) };
}

async function fromFile(name: string, path: Path, folder: StudyFolder, findings: Findings): Promise<CurvePoint[] | undefined> {
  const file = await folder.read(name);
  if ('problem' in file) {
    findings.problem(path, `read ${show(name)}: ${file.problem}`);
    return undefined;
  }
  const columns = readColumns(file.text, file.shown, ['time_s', 'thrust_N'], findings);
  if (columns === undefined) return undefined;
  const [times = [], thrusts = []] = columns;
  return times.map((time, i) => ({
    time: time.value,
    thrust: thrusts[i]?.value ?? Number.NaN,
    problem: (text) => findings.problemAt(time.place, text),
  }));
}

function fromList(raw: unknown, path: Path, findings: Findings): CurvePoint[] | undefined {
  if (!Array.isArray(raw)) {
    findings.problem(
      path,
      `read ${show(raw)}; expected the name of a CSV file or a list of points. Write, for example, [[0 s, 0 N], [0.1 s, 18 N], [2.4 s, 0 N]].`,
    );
    return undefined;
  }
  return raw.flatMap((item: unknown, i) => {
    const place = [...path, i];
    if (!Array.isArray(item) || item.length !== 2) {
      findings.problem(place, `read ${show(item)}; expected a point of a time and a thrust. Write, for example, [0.1 s, 18 N].`);
      return [];
    }
    const numbers = (['s', 'N'] as const).map((unit, k) => {
      const reading = readQuantity(item[k], unit);
      if ('value' in reading) return reading.value;
      const why = reading.problem === '' ? '' : ` (${reading.problem})`;
      findings.problem(
        [...place, k],
        `read ${show(item[k])}${why}; expected ${k === 0 ? 'a time in s' : 'a thrust in N'}. Write, for example, ${k === 0 ? '0.1 s' : '18 N'}.`,
      );
      return Number.NaN;
    });
    return [{ time: numbers[0] ?? Number.NaN, thrust: numbers[1] ?? Number.NaN, problem: (text: string) => findings.problem(place, text) }];
  });
}

function checkPoints(points: readonly CurvePoint[], path: Path, findings: Findings): void {
  if (points.length < 2) {
    findings.problem(
      path,
      `read a curve of ${points.length} point${points.length === 1 ? '' : 's'}; expected at least 2. Give the whole curve.`,
    );
    return;
  }
  let impulse = 0;
  let last: CurvePoint | undefined;
  for (const point of points) {
    if (point.time < 0) point.problem(`read the time ${point.time} s; expected 0 s or later. Start the curve at 0 s.`);
    if (point.thrust > MOST_THRUST)
      point.problem(`read the thrust ${point.thrust} N; expected at most ${MOST_THRUST} N. Check its power of ten.`);
    if (point.time > MOST_TIME) point.problem(`read the time ${point.time} s; expected at most ${MOST_TIME} s. Check its power of ten.`);
    if (point.thrust < 0) point.problem(`read the thrust ${point.thrust} N; expected 0 N or more. A motor does not pull.`);
    if (last !== undefined) {
      if (!(point.time > last.time)) {
        point.problem(
          `read the time ${point.time} s after ${last.time} s; expected times that increase. Sort the points and give each time once.`,
        );
      }
      impulse += (point.time - last.time) * (point.thrust + last.thrust) * 0.5;
    }
    last = point;
  }
  if (impulse === 0) findings.problem(path, 'read a curve with no impulse; expected thrust above 0 N somewhere. Give the measured thrust.');
}

function warnOfEnds(points: readonly CurvePoint[], path: Path, findings: Findings): void {
  const first = points[0];
  const last = points[points.length - 1];
  if (first !== undefined && first.thrust > 0) {
    findings.warning(
      path,
      `the curve begins at ${first.thrust} N, not at 0 N: thrust will jump there. The start of the recording may be cut off; add a point of 0 N before it.`,
    );
  }
  if (last !== undefined && last.thrust > 0) {
    findings.warning(
      path,
      `the curve ends at ${last.thrust} N, not at 0 N: thrust will drop there at once. The tail may be cut off; add a point of 0 N after it.`,
    );
  }
}
