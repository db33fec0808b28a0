/**
 * Is the vehicle held while a motor burns: the gimbal against the air, and the attitude loop's margins, instant by
 * instant.
 */
import type { Study } from '../../study/study.ts';
import { type AttitudeLoop, growthRate, type LoopMargins, loopMargins } from './attitudeLoop.ts';
import type { Burn, LoopFault, NominalFinding, Severity } from './finding.ts';
import type { Instant, Instants } from './instants.ts';
import { turning } from './turning.ts';

/** Common practice, no source: half of the gimbal is kept for gusts, misalignment and steering. */
const USUAL_SHARE = 0.5;
/**
 * rad and factor: K. J. Astrom and R. M. Murray, Feedback Systems (2008), section 9.3, names 30 to 60 degrees and 2 to
 * 5 as reasonable (source not opened).
 */
const USUAL_PHASE = (30 * Math.PI) / 180;
const USUAL_GAIN = 2;
/** Common practice, no source: a loop answers within a third of the time it has. */
const ANSWERS = 3;
/** Doublings of a disturbance in a burn that cannot but lose the vehicle: a degree has become eight. */
const HOPELESS = 3;
/**
 * Of the mean thrust, below which a motor is not asked to steer; and of the limit of tilt, beyond which control is as
 * good as lost.
 */
const STRONG = 0.5;
const UPRIGHT = 0.5;
/** Instants of a burn at which the loop is looked at. */
const LOOKS = 12;

/** @param lost whether the flight lost control in this burn */
export function controlFindings(burn: Burn, seen: Instants, study: Study, lost: boolean): NominalFinding[] {
  const strong = strongInstants(burn, seen);
  if (strong.length === 0) return [];
  const severity: Severity = lost ? 'fault' : 'doubt';
  return [...authority(burn, strong, seen, study, severity), ...loopOver(burn, strong, seen, study, severity)];
}

function strongInstants(burn: Burn, seen: Instants): Instant[] {
  const key = `${burn}Thrust` as const;
  const burning = seen.burning(burn);
  const mean = burning.reduce((sum, { load }) => sum + load[key], 0) / burning.length;
  return burning.filter(({ load, gain }) => gain !== null && load[key] >= STRONG * mean);
}

function authority(burn: Burn, strong: readonly Instant[], seen: Instants, study: Study, severity: Severity): NominalFinding[] {
  const { plant } = seen.setup;
  const { limit } = study.vehicle.gimbal;
  const toppled = strong.findIndex(({ tilt }) => tilt > UPRIGHT * study.limits.lostControlTilt);
  const upright = toppled < 0 ? strong : strong.slice(0, toppled + 1);
  const shares = upright.map((i) => {
    const { airMoment, steering } = turning(i, plant);
    return airMoment / (steering * limit);
  });
  const share = Math.max(...shares);
  if (!(share > USUAL_SHARE)) return [];
  const worst = upright[shares.indexOf(share)];
  const angle = Math.atan2(worst.across, Math.abs(worst.along));
  return [{ key: 'littleAuthority', severity, phase: burn, share, time: worst.time, angle, gimbal: limit }];
}

function loopOver(burn: Burn, strong: readonly Instant[], seen: Instants, study: Study, severity: Severity): NominalFinding[] {
  const lasts = strong[strong.length - 1].time - strong[0].time;
  if (!(lasts > 0)) return [];
  const { time } = study[burn].curve;
  const duration = (time[time.length - 1] - time[0]) * seen.setup.plant[burn].burnTimeFactor;
  const every = Math.max(1, Math.floor(strong.length / LOOKS));
  const looks = strong.filter((_, i) => i % every === 0);
  const loops = looks.map((i) => loopAt(i, seen, study));
  const growths = loops.map((l) => growthRate(l));
  const doublings = (growths.reduce((sum, growth) => sum + Math.max(0, growth), 0) / growths.length / Math.LN2) * lasts;
  const doubles = (growth: number): boolean => growth * lasts > Math.LN2;
  const marginsAt = (place: number): LoopMargins => loopMargins(loops[place], 1 / duration, doubles);
  const found = (fault: LoopFault, place: number, how: Severity): NominalFinding[] => [
    {
      key: 'loop',
      severity: how,
      phase: burn,
      fault,
      margins: marginsAt(place),
      time: looks[place].time,
      burn: duration,
      delay: loops[place].lag + loops[place].tick / 2,
    },
  ];
  if (doublings >= 1) {
    const place = growths.indexOf(Math.max(...growths));
    const { lower, upper } = marginsAt(place);
    return found(lower !== null ? 'tooStrong' : upper !== null ? 'tooWeak' : 'noGain', place, doublings >= HOPELESS ? 'fault' : severity);
  }
  const all = looks.map((_, place) => marginsAt(place));
  const room = all.map(({ phase, upper, lower }) =>
    Math.min((phase ?? Math.PI) / USUAL_PHASE, (upper ?? Number.POSITIVE_INFINITY) / USUAL_GAIN, 1 / ((lower ?? 0) * USUAL_GAIN)),
  );
  const least = Math.min(...room);
  if (least < 1) return found('thin', room.indexOf(least), severity);
  const answers = all.map(({ crossover }) => (crossover ?? 0) * duration);
  const quickest = Math.max(...answers);
  return quickest < ANSWERS ? found('slow', answers.indexOf(quickest), severity) : [];
}

function loopAt(i: Instant, seen: Instants, study: Study): AttitudeLoop {
  const { plant, tick } = seen.setup;
  const { kp, kd, ki } = study.control;
  const gain = i.gain ?? 1;
  return { ...turning(i, plant), lag: plant.servoLag, tick, kp: gain * kp, kd: gain * kd, ki: gain * ki };
}
