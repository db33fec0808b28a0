/**
 * `alight measure legs`: the vehicle dropped upright from a chair and filmed; what its rebounds say of the legs'
 * damping. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import type { Distribution } from '../../inputs/distributions.ts';
import { readColumnMap, type WantedColumn } from '../../recordings/columnMap.ts';
import { numbersOf, type Recording, readRecording } from '../../recordings/recording.ts';
import { meanInterval, normalSample } from '../../statistics/samples/normalSample.ts';
import { legsBlock, legsFinding, legsHow } from './legsWords.ts';
import { type DropFound, LEVEL, type LegsMeasurement, measurementFacts } from './measurement.ts';
import { studentOf } from './predictive.ts';
import { ratioOf, reboundHeight } from './rebound.ts';

export const LEGS_COLUMNS: readonly WantedColumn[] = [
  { name: 'drop', unit: 'm', titles: ['dropped', 'from', 'height'] },
  { name: 'rebound', unit: 'm', titles: ['bounce', 'up', 'back'] },
];

export interface MeasureLegsOptions {
  /** As after `--columns`; null: by the head alone. */
  readonly columns: string | null;
  /** kg, of all that was dropped. */
  readonly mass: number;
  readonly legs: number;
  /** Of one leg, N/m. */
  readonly stiffness: number;
}

/** A drop of fewer sags than this is a push: the feet hardly leave the ground's hold on them. */
const FEWEST_SAGS = 3;
/** Drops whose spread is drawn, at least: of two it has no variance. */
const FEWEST_FOR_SPREAD = 3;
/** A rebound that a film does not show, m. */
const UNSEEN = 0.002;
/** Points of the curve for the picture. */
const POINTS = 40;
const GRAVITY = 9.80665;

/** @throws UserError with every problem */
export async function measureLegs(file: string, options: MeasureLegsOptions): Promise<LegsMeasurement> {
  const map = options.columns === null ? null : readColumnMap(options.columns, LEGS_COLUMNS);
  const recording = await readRecording(file, LEGS_COLUMNS, map);
  const { mass, legs, stiffness } = options;
  const w0 = Math.sqrt((legs * stiffness) / mass);
  /** Damping of one leg at the ratio 1. */
  const critical = 2 * Math.sqrt((stiffness * mass) / legs);
  const rows = dropsOf(recording, w0);
  const drops = rows.map(
    ({ line, drop, rebound, ratio }): DropFound => ({ line, drop, rebound, damping: ratio === null ? null : ratio * critical }),
  );
  const told = drops.flatMap(({ damping }) => (damping === null ? [] : [damping]));
  const highest = Math.max(...drops.map(({ drop }) => drop));
  if (told.length === 0) {
    throw new UserError(
      `${recording.shown}:${recording.lines[0]}:1: read no rebound; expected one at least. Drop it from higher; none above ${1000 * UNSEEN} mm from ${plain(highest)} m takes a damping of at least ${plain((ratioOf(highest, UNSEEN, w0) ?? 0) * critical)} N*s/m a leg.`,
    );
  }
  const sample = normalSample(told);
  const interval = meanInterval(sample, LEVEL);
  const found = {
    mass,
    legs,
    stiffness,
    drops,
    damping: { value: sample.mean, interval },
    ratio: {
      value: sample.mean / critical,
      interval: interval === null ? null : ([interval[0] / critical, interval[1] / critical] as const),
    },
    distribution: told.length < FEWEST_FOR_SPREAD ? null : factorOf(told, sample.mean),
    curve: Array.from({ length: POINTS }, (_, k) => {
      const drop = (highest * (k + 1)) / POINTS;
      return { drop, rebound: reboundHeight(sample.mean / critical, w0, drop) };
    }),
  };
  return {
    ...measurementFacts([file]),
    kind: 'legs',
    finding: legsFinding(found),
    how: legsHow(found),
    warnings: recording.warnings,
    block: legsBlock(found),
    ...found,
  };
}

/** Of damping over its mean, which is 1 but for rounding. */
function factorOf(dampings: readonly number[], mean: number): Distribution | null {
  const found = studentOf(dampings.map((c) => c / mean));
  return found?.kind === 'student' ? { ...found, mean: 1 } : found;
}

function dropsOf(recording: Recording, w0: number): readonly { line: number; drop: number; rebound: number; ratio: number | null }[] {
  const { shown, lines } = recording;
  const sag = GRAVITY / (w0 * w0);
  const [falls, rebounds] = ['drop', 'rebound'].map((name) => numbersOf(recording, name));
  const problems: string[] = [];
  const rows = Array.from(falls, (drop, i) => {
    const rebound = rebounds[i];
    const place = `${shown}:${lines[i]}:1`;
    if (!(drop >= FEWEST_SAGS * sag)) {
      problems.push(
        `${place}: read a drop of ${plain(drop)} m; expected at least ${plain(FEWEST_SAGS * sag)} m, three times the sag under its own weight. Drop it from higher.`,
      );
      return { line: lines[i], drop, rebound, ratio: null };
    }
    if (!(rebound >= 0 && rebound < drop)) {
      problems.push(
        `${place}: read a rebound of ${plain(rebound)} m from ${plain(drop)} m; expected 0 m to less than the drop. Columns may be swapped: name them in --columns.`,
      );
      return { line: lines[i], drop, rebound, ratio: null };
    }
    const ratio = rebound === 0 ? null : ratioOf(drop, rebound, w0);
    if (rebound > 0 && ratio === null) {
      problems.push(
        `${place}: read a rebound of ${plain(rebound)} m from ${plain(drop)} m, which no damping gives on legs of this stiffness. Measure the stiffness anew.`,
      );
    }
    return { line: lines[i], drop, rebound, ratio };
  });
  if (problems.length > 0) throw new UserError(problems);
  return rows;
}

function plain(x: number): string {
  return String(Number(x.toPrecision(3)));
}
