/**
 * A short complete study text whose lines tests replace, and what reading it gives. The file is called `lander.yaml`.
 */
import { UserError } from '../../src/errors.ts';
import type { StudyFolder } from '../../src/study/files.ts';
import { type OpenedStudy, readStudy } from '../../src/study/load.ts';

const LINES = [
  /*  1 */ 'title: Plain',
  /*  2 */ 'seed: 0',
  /*  3 */ 'vehicle:',
  /*  4 */ '  body: { length: 860 mm, diameter: 94 mm }',
  /*  5 */ '  airframe: { mass: 930 g, station: 560 mm, inertiaAxial: 0.0017, inertiaTransverse: 0.043 }',
  /*  6 */ '  aerodynamics:',
  /*  7 */ '    coefficients:',
  /*  8 */ '      axialNose: 0.55',
  /*  9 */ '      axialTail: 0.95',
  /* 10 */ '      normalNose: { slope: 6, station: 630 mm }',
  /* 11 */ '      normalTail: { slope: 4, station: 420 mm }',
  /* 12 */ '      planformArea: 0.084',
  /* 13 */ '      planformStation: 450 mm',
  /* 14 */ '      legsAxial: 0.7',
  /* 15 */ '      legsNormal: { slope: 1.2, station: 800 mm }',
  /* 16 */ '  gimbal: { limit: 5 deg, lag: 25 ms, rateLimit: 300 deg/s }',
  /* 17 */ '  legs: { radius: 270 mm, footStation: 900 mm, release: { afterApogee: 1 s }, deploymentTime: 0.3 s }',
  /* 18 */ 'ascent:',
  /* 19 */ '  curve: [[0 s, 0 N], [0.1 s, 60 N], [0.9 s, 55 N], [1 s, 0 N]]',
  /* 20 */ '  casingMass: 30 g',
  /* 21 */ '  propellantMass: 27 g',
  /* 22 */ '  station: 812 mm',
  /* 23 */ '  length: 95 mm',
  /* 24 */ '  radius: 14.5 mm',
  /* 25 */ '  nozzleStation: 865 mm',
  /* 26 */ 'landing: { curve: [[0, 0], [0.1, 40], [1, 30], [2, 0]], casingMass: 27 g, propellantMass: 30 g, station: 715 mm, length: 90 mm, radius: 14.5 mm, nozzleStation: 765 mm, ignitionDelay: 110 ms }',
  /* 27 */ 'rail: { length: 1.2 m }',
  /* 28 */ 'sensors:',
  /* 29 */ '  imu: { station: 360 mm }',
  /* 30 */ '  accelerometer: { noise: 0.0015, range: 157 }',
  /* 31 */ '  gyro: { noise: 8.7e-5, range: 17 }',
  /* 32 */ 'control: { kp: 0.5, kd: 0.12 }',
  /* 33 */ 'rules:',
  /* 34 */ '  low: { kind: fixedHeight, height: 7 m }',
  /* 35 */ 'limits: { sink: 3 m/s }',
  /* 36 */ 'inputs:',
  /* 37 */ '  wind.speed: { uniform: { low: 0, high: 4 } }',
  /* 38 */ '  ascent.impulseFactor: { normal: { sd: 3 % } }',
  /* 39 */ '  landing.impulseFactor: { normal: { sd: 2 % } }',
  /* 40 */ 'correlations:',
  /* 41 */ '  - { between: [ascent.impulseFactor, landing.impulseFactor], rank: 0.3 }',
] as const;

/** The text with some lines (counted from 1) replaced. */
export function plainText(replaced: Readonly<Record<number, string>> = {}): string {
  return `${LINES.map((line, i) => replaced[i + 1] ?? line).join('\n')}\n`;
}

const none = () => Promise.resolve({ problem: 'no such file; expected a text file. Check the name.' });
const nothing: StudyFolder = { read: none, bytes: none };

/** A folder that holds these files. */
export function folderOf(files: Readonly<Record<string, string>>): StudyFolder {
  return { ...nothing, read: async (name) => (files[name] === undefined ? nothing.read(name) : { text: files[name], shown: name }) };
}

export function read(text: string, set: readonly string[] = [], folder: StudyFolder = nothing): Promise<OpenedStudy> {
  return readStudy(text, 'lander.yaml', folder, set);
}

/** Every problem of a study that must have some. */
export async function problemsOf(text: string, set: readonly string[] = [], folder: StudyFolder = nothing): Promise<readonly string[]> {
  try {
    await read(text, set, folder);
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  throw new Error('the study was accepted');
}
