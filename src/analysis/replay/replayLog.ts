/**
 * A log's samples fed, row by row, to the study's own flight computer: where its belief and the logged one part, when it
 * recognised each phase, and when each rule would have lit. Reads no file.
 */
import { FlightComputer } from '../../avionics/computer.ts';
import { LANDING } from '../../avionics/phases.ts';
import { chosenRule, flightParameters } from '../../flight/flightMaker.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import type { FlightLog, LogTiming, OptionalColumn } from './flightLog.ts';

/** Phases from the first recognised on. */
export const PHASE_WORDS = ['liftoff recognised', 'burnout recognised', 'apogee recognised', 'ignition commanded'] as const;

export interface PhaseTime {
  readonly what: (typeof PHASE_WORDS)[number];
  /** s on the log's clock, of the row: by this replay, and in the log; null where it did not come, or is not logged. */
  readonly replayed: number | null;
  readonly logged: number | null;
}

/** One quantity as the log has it against the replay. */
export interface Parting {
  readonly key: OptionalColumn;
  readonly unit: string;
  readonly rows: number;
  /** Rows on which both are the same number, to the last bit. */
  readonly same: number;
  readonly largest: number;
  /** s; first row on which they differ by more than `beyond`; null: never. */
  readonly beyond: number;
  readonly from: number | null;
}

export interface WouldLight {
  readonly rule: string;
  /** s on the log's clock; null: it would not have lit. */
  readonly time: number | null;
  /** m and m/s, believed by this replay at the command, downward speed positive. */
  readonly height: number | null;
  readonly speed: number | null;
  /** m, as the log has it; null where it has none. */
  readonly loggedHeight: number | null;
  /** After the log's own lighting: the samples are then of another flight than this rule would have flown. */
  readonly tooLate: boolean;
}

export interface BelievedColumn {
  readonly key: string;
  readonly unit: string;
  readonly meaning: string;
  /** One number a row; NaN where the log has none. */
  readonly values: Float64Array;
}

export interface Replay {
  readonly log: string;
  readonly rule: string;
  readonly timing: LogTiming;
  /** Hz, of the study's computer. */
  readonly studyRate: number;
  readonly phases: readonly PhaseTime[];
  readonly partings: readonly Parting[];
  readonly rules: readonly WouldLight[];
  /** Belief of this replay beside the logged one, row by row: a table to draw from. */
  readonly believed: readonly BelievedColumn[];
}

/** Differences that a reader cares about: half a metre decides landings; a phase is right or wrong. */
const COMPARED: readonly { readonly key: OptionalColumn; readonly unit: string; readonly beyond: number }[] = [
  { key: 'height', unit: 'm', beyond: 0.5 },
  { key: 'speedUp', unit: 'm/s', beyond: 0.5 },
  { key: 'phase', unit: '', beyond: 0 },
  { key: 'commandY', unit: 'rad', beyond: (0.5 * Math.PI) / 180 },
  { key: 'commandZ', unit: 'rad', beyond: (0.5 * Math.PI) / 180 },
];

type Seen = Readonly<Record<'height' | 'speedUp' | 'phase' | 'commandY' | 'commandZ', Float64Array>>;

interface Run {
  readonly seen: Seen;
  /** Row and time of the command; null: none came. */
  readonly command: { readonly row: number; readonly time: number; readonly height: number; readonly speed: number } | null;
}

/** @param rule flown, with its constants */
export function replayLog(study: Study, log: FlightLog, rule: RuleChoice): Replay {
  const time = required(log, 'time');
  const own = run(study, log, rule);
  const logged = log.column('phase');
  const lit = firstRow(logged ?? own.seen.phase, LANDING);
  return {
    log: log.shown,
    rule: rule.name,
    timing: log.timing,
    studyRate: study.computer.rate,
    phases: PHASE_WORDS.map((what, i) => ({
      what,
      replayed: timeOf(time, own.seen.phase, i + 1),
      logged: logged && timeOf(time, logged, i + 1),
    })),
    partings: COMPARED.flatMap(({ key, unit, beyond }) => {
      const column = log.column(key);
      return column === null ? [] : [parting(key, unit, beyond, time, column, own.seen[key as keyof Seen])];
    }),
    rules: study.rules.map((one) => wouldLight(study, log, one.name === rule.name ? rule : one, lit)),
    believed: [
      { key: 'time', unit: 's', meaning: 'on the log’s clock', values: time },
      { key: 'height', unit: 'm', meaning: 'believed by this replay', values: own.seen.height },
      { key: 'speedUp', unit: 'm/s', meaning: 'believed by this replay', values: own.seen.speedUp },
      { key: 'phase', unit: '', meaning: 'by this replay', values: own.seen.phase },
      ...(['height', 'speedUp', 'phase'] as const).flatMap((key) => {
        const values = log.column(key);
        const unit = COMPARED.find((one) => one.key === key)?.unit ?? '';
        return values === null ? [] : [{ key: `logged.${key}`, unit, meaning: 'as logged', values }];
      }),
    ],
  };
}

/** The rule by its name, with other constants where given. */
export function ruleFlown(study: Study, name: string, constants: Readonly<Record<string, number>> = {}): RuleChoice {
  return chosenRule(study, { rule: name, constants });
}

function run(study: Study, log: FlightLog, rule: RuleChoice): Run {
  const p = flightParameters(study, rule, nominalInputs(study), null).computer;
  const computer = new FlightComputer();
  computer.reset(p);
  const time = required(log, 'time');
  const samples = (['accelerationX', 'accelerationY', 'accelerationZ', 'rateX', 'rateY', 'rateZ'] as const).map((name) =>
    required(log, name),
  );
  const barometer = log.column('barometer');
  const seen = {
    height: new Float64Array(log.rows),
    speedUp: new Float64Array(log.rows),
    phase: new Float64Array(log.rows),
    commandY: new Float64Array(log.rows),
    commandZ: new Float64Array(log.rows),
  };
  let command: Run['command'] = null;
  for (let i = 0; i < log.rows; i++) {
    for (let c = 0; c < samples.length; c++) computer.sample[c] = samples[c][i];
    if (barometer !== null && !Number.isNaN(barometer[i])) computer.barometerHeight = barometer[i];
    computer.tickAt(p, Math.round(time[i] / p.tick), time[i]);
    const { navigator, phases, control } = computer;
    seen.height[i] = navigator.height;
    seen.speedUp[i] = navigator.v[2];
    seen.phase[i] = phases.phase;
    seen.commandY[i] = control.command1;
    seen.commandZ[i] = control.command2;
    if (computer.commandWait < 0) continue;
    const wait = computer.commandWait;
    command = {
      row: i,
      time: time[i] + wait,
      height: navigator.height + wait * (navigator.v[2] + 0.5 * wait * navigator.verticalAcceleration),
      speed: -(navigator.v[2] + wait * navigator.verticalAcceleration),
    };
  }
  return { seen, command };
}

function wouldLight(study: Study, log: FlightLog, rule: RuleChoice, lit: number): WouldLight {
  const { command } = run(study, log, rule);
  if (command === null) return { rule: rule.name, time: null, height: null, speed: null, loggedHeight: null, tooLate: false };
  const { row, time, height, speed } = command;
  const logged = log.column('height')?.[row] ?? Number.NaN;
  return { rule: rule.name, time, height, speed, loggedHeight: Number.isNaN(logged) ? null : logged, tooLate: lit >= 0 && row > lit };
}

function required(log: FlightLog, name: Parameters<FlightLog['column']>[0]): Float64Array {
  const column = log.column(name);
  if (column === null) throw new Error(`the log was read without ${name}`);
  return column;
}

/** Row of the first value at or beyond a phase; -1: none. */
function firstRow(phases: Float64Array, phase: number): number {
  return phases.findIndex((value) => value >= phase);
}

function timeOf(time: Float64Array, phases: Float64Array, phase: number): number | null {
  const row = firstRow(phases, phase);
  return row < 0 ? null : time[row];
}

function parting(key: OptionalColumn, unit: string, beyond: number, time: Float64Array, logged: Float64Array, seen: Float64Array): Parting {
  let rows = 0;
  let same = 0;
  let largest = 0;
  let from: number | null = null;
  for (let i = 0; i < logged.length; i++) {
    if (Number.isNaN(logged[i])) continue;
    rows++;
    const apart = Math.abs(logged[i] - seen[i]);
    if (logged[i] === seen[i]) same++;
    if (apart > largest) largest = apart;
    if (apart > beyond && from === null) from = time[i];
  }
  return { key, unit, rows, same, largest, beyond, from };
}
