/**
 * From the pad to apogee: does it lift off, leave the rail fast enough, stay straight, and does the computer notice.
 */
import { ASCENT, COAST, PAD } from '../../avionics/phases.ts';
import { greatest } from '../../maths/extremes.ts';
import { impulseOf } from '../../maths/thrustCurve.ts';
import { FREE } from '../../plant/rates.ts';
import type { Study } from '../../study/study.ts';
import type { NominalFlight } from '../drops/nominalFlights.ts';
import { controlFindings } from './control.ts';
import type { NominalFinding } from './finding.ts';
import type { Instant, Instants } from './instants.ts';
import { airCentre, TURNED_OVER } from './turning.ts';

/**
 * Common practice, no source: five is asked of a rocket that only its fins keep straight; one that is steered, as all
 * here are, does with less, but along the rail it is not steered and below this gravity takes two thirds of the thrust.
 */
const USUAL_THRUST_TO_WEIGHT = 1.5;
/** Invented: so near to the weight, next to nothing is left to fly on. */
const HOPELESS_THRUST_TO_WEIGHT = 1.25;
/**
 * rad; common practice, no source: the rail is left at about four times the wind, so that the air meets the vehicle
 * within 15 degrees.
 */
const USUAL_ANGLE = (15 * Math.PI) / 180;
/** Calibres; common practice, no source: one to two for a rocket that only its fins keep straight. */
const USUAL_MARGIN = 1;

export function liftoffFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const { plant } = seen.setup;
  const weight = seen.all[0].load.mass * plant.gravity;
  const peakThrust = greatest(study.ascent.curve.thrust) * plant.ascent.thrustScale;
  if (Number.isNaN(flight.out('railExitSpeed'))) {
    const { time, thrust } = study.ascent.curve;
    const meanThrust = (impulseOf(time, thrust) / (time[time.length - 1] - time[0])) * plant.ascent.thrustScale;
    return [{ key: 'noLiftoff', severity: 'fault', peakThrust, meanThrust, weight }];
  }
  const rail = seen.onRail;
  const thrust = rail.reduce((sum, { load }) => sum + load.ascentThrust, 0) / rail.length;
  const found: NominalFinding[] = [];
  const fallsBack = flight.out('apogeeTime') < seen.ascentEnd;
  if (fallsBack || thrust < USUAL_THRUST_TO_WEIGHT * weight) {
    const fallsBackFrom = fallsBack ? flight.out('apogee') : null;
    const hopeless = flight.outcome !== 'landed' && thrust < HOPELESS_THRUST_TO_WEIGHT * weight;
    found.push({ key: 'weakLiftoff', severity: fallsBack || hopeless ? 'fault' : 'doubt', thrust, weight, fallsBackFrom });
  }
  const exit = seen.railExit;
  if (exit !== undefined) found.push(...railFindings(flight, exit, seen, study));
  return found;
}

function railFindings(flight: NominalFlight, exit: Instant, seen: Instants, study: Study): NominalFinding[] {
  const speed = flight.out('railExitSpeed');
  const { wind } = exit;
  const angle = Math.atan2(wind, speed);
  if (!(angle > USUAL_ANGLE)) return [];
  const enough = wind / Math.tan(USUAL_ANGLE);
  // The speed grows with the root of the way, nearly: thrust and weight hardly change along a rail.
  const rail = study.rail.length * (enough / speed) ** 2;
  return [{ key: 'slowRail', severity: wrongUp(flight, seen, study) ? 'fault' : 'doubt', speed, wind, angle, enough, rail }];
}

export function stabilityFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const exit = seen.railExit;
  const after = seen.all.find(({ time, load }) => exit !== undefined && time > exit.time && load.ascentThrust === 0);
  const fault = wrongUp(flight, seen, study);
  const found: NominalFinding[] = [];
  for (const [place, instant] of [
    ['rail exit', exit],
    ['burnout', after],
  ] as const) {
    if (instant === undefined || instant.along <= 0) continue;
    const centre = airCentre(instant, seen.setup.plant);
    if (centre === null || centre.margin >= (fault ? USUAL_MARGIN : 0)) continue;
    found.push({ key: 'unstableUp', severity: fault ? 'fault' : 'doubt', place, ...centre, held: !fault });
  }
  return found;
}

/** What was lost under thrust, and why. */
export function ascentControlFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const lost = lostUp(flight, study);
  const limit = study.limits.lostControlTilt;
  const beyond = seen.burning('ascent').find(({ tilt }) => tilt > limit);
  const tilt = flight.out('tiltAscentBurn');
  const head: NominalFinding[] =
    lost && beyond !== undefined ? [{ key: 'lostControl', severity: 'fault', phase: 'ascent', tilt, limit, time: beyond.time }] : [];
  return [...head, ...controlFindings('ascent', seen, study, lost)];
}

/** What happened between burnout and apogee, where nothing steers. */
export function coastFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const over = turnedOver(flight, seen, study);
  return over === undefined ? [] : [{ key: 'wrongInFlight', severity: 'fault', phase: 'coast', tilt: over.tilt, time: over.time }];
}

/** Whether the computer notices liftoff, burnout and the descent. */
export function phaseFindings(flight: NominalFlight, seen: Instants): NominalFinding[] {
  const { liftoffThreshold: threshold, liftoffConfirm, burnoutThreshold, burnoutConfirm } = seen.setup.computer;
  const severity = 'fault';
  if (seen.lastPhase === PAD) {
    const felt = seen.all.reduce((most, instant) => Math.max(most, instant.felt), 0);
    return [{ key: 'liftoffUnseen', severity, felt, threshold, confirm: liftoffConfirm }];
  }
  if (seen.lastPhase === ASCENT) {
    const coasting = seen.all.filter(({ time }) => time > flight.out('liftoffTime') && time < flight.out('apogeeTime'));
    const felt = coasting.reduce((least, instant) => Math.min(least, instant.felt), Number.POSITIVE_INFINITY);
    return [{ key: 'burnoutUnseen', severity, felt, threshold: burnoutThreshold, confirm: burnoutConfirm }];
  }
  return seen.lastPhase === COAST ? [{ key: 'descentUnseen', severity, believedRise: -flight.out('believedFinalSpeed') }] : [];
}

/** Control lost going up. */
const lostUp = (flight: NominalFlight, study: Study): boolean => flight.out('tiltAscentBurn') > study.limits.lostControlTilt;

const wrongUp = (flight: NominalFlight, seen: Instants, study: Study): boolean =>
  lostUp(flight, study) || turnedOver(flight, seen, study) !== undefined;

/** The first instant of the coast upward that has turned over, and flies fast enough for the air to have done it. */
function turnedOver(flight: NominalFlight, seen: Instants, study: Study): Instant | undefined {
  if (lostUp(flight, study)) return undefined;
  const top = flight.out('apogeeTime');
  return seen.all.find(({ time, tilt, load, hold }) => hold === FREE && load.ascentThrust === 0 && time < top && tilt > TURNED_OVER);
}
