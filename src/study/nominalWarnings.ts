/**
 * What can be foretold of the nominal flight without flying it, and warned of: balance, weight against thrust, impulse
 * against the fall. A closed list; each warning says what was seen, why it matters and what to do. Never stops a study.
 */
import type { InputKey } from '../inputs/catalogue.ts';
import { greatest } from '../maths/extremes.ts';
import { impulseOf } from '../maths/thrustCurve.ts';
import { density } from '../plant/air.ts';
import { PLAUSIBLE_AXIAL } from '../plant/geometry.ts';
import { normalGravity, STANDARD_GRAVITY } from '../plant/gravity.ts';
import type { Findings } from './findings.ts';
import { ineffectiveBecause } from './ineffectiveInputs.ts';
import { burnTimeFactor, impulseFactor, type MotorName } from './motorFactors.ts';
import { nominalInputs } from './nominal.ts';
import type { Study } from './study.ts';

/**
 * Common practice, no source: five weights are asked of a rocket that only its fins keep straight; one that is steered,
 * as all here are, lifts off with less. Below two, gravity takes half of the impulse or more.
 */
const LOW_THRUST_TO_WEIGHT = 2;
/** rad; common practice, no source: gimbals turn by about 5 degrees. */
const LARGE_GIMBAL = (15 * Math.PI) / 180;
/** m; top of the troposphere in ISO 2533. */
const TROPOPAUSE = 11_000;
/** s */
const STEP = 0.005;
const LONGEST_ASCENT = 300;

const three = (x: number): string => String(Number(x.toPrecision(3)));

interface NominalFacts {
  readonly gravity: number;
  /** kg at liftoff, and falling with a spent ascent casing and a full landing motor. */
  readonly launchMass: number;
  readonly fallMass: number;
  /** kg of each motor's. */
  readonly ascentPropellant: number;
  readonly landingPropellant: number;
  /** m aft of the nose tip: centres of mass of the two. */
  readonly launchCentre: number;
  readonly fallCentre: number;
  /** kg/m: drag over speed squared, up and down (legs out). */
  readonly dragUp: number;
  readonly dragDown: number;
}

function nominalOf(study: Study): NominalFacts {
  const flown = (key: InputKey, otherwise: number): number => {
    const d = study.inputs[key];
    return d?.kind === 'fixed' ? d.value : otherwise;
  };
  const { vehicle, ascent, landing, site } = study;
  const ascentPropellant = flown('ascent.propellantMass', ascent.propellantMass);
  const landingPropellant = flown('landing.propellantMass', landing.propellantMass);
  const parts = {
    airframe: { mass: flown('airframe.mass', vehicle.airframe.mass), at: flown('airframe.station', vehicle.airframe.station) },
    casing: { mass: ascent.casingMass, at: ascent.station },
    ascent: { mass: ascent.casingMass + ascentPropellant, at: ascent.station },
    landing: { mass: landing.casingMass + landingPropellant, at: landing.station },
  };
  const mass = (list: readonly { mass: number }[]) => list.reduce((sum, p) => sum + p.mass, 0);
  const centre = (list: readonly { mass: number; at: number }[]) => list.reduce((sum, p) => sum + p.mass * p.at, 0) / mass(list);
  const launch = [parts.airframe, parts.ascent, parts.landing];
  const fall = [parts.airframe, parts.casing, parts.landing];
  const air = density(flown('site.temperature', site.temperature), flown('site.pressure', site.pressure), 0);
  const pressing = 0.5 * air * Math.PI * (vehicle.body.diameter / 2) ** 2 * flown('air.axialFactor', 1);
  const { axialNose, axialTail, legsAxial } = vehicle.aerodynamics;
  return {
    gravity: site.latitude === null ? STANDARD_GRAVITY : normalGravity(site.latitude, site.elevation),
    launchMass: mass(launch),
    fallMass: mass(fall),
    ascentPropellant,
    landingPropellant,
    launchCentre: centre(launch),
    fallCentre: centre(fall),
    dragUp: pressing * axialNose,
    dragDown: pressing * (axialTail + legsAxial),
  };
}

/** Adds what the study's numbers foretell to the warnings. */
export function nominalWarnings(study: Study, findings: Findings): void {
  const n = nominalOf(study);
  warnOfBalance(study, n, findings);
  const peak = greatest(study.ascent.curve.thrust) * factor(study, 'ascent');
  const weight = n.launchMass * n.gravity;
  if (peak <= weight) {
    findings.foretell(
      ['ascent', 'curve'],
      `the ascent thrust never exceeds ${three(peak)} N, the weight is ${three(weight)} N: it will not lift off. The motor is too small or the curve is in another unit; check both.`,
    );
  } else {
    if (peak < LOW_THRUST_TO_WEIGHT * weight) {
      findings.foretell(
        ['ascent', 'curve'],
        `the ascent thrust is at most ${three(peak / weight)} times the weight (${three(peak)} N against ${three(weight)} N). It leaves the rail slowly, wind and misalignment turn it, and gravity takes most of the impulse; a stronger motor or a longer rail helps.`,
      );
    }
    warnOfLanding(study, n, findings);
  }
  if (study.vehicle.gimbal.limit > LARGE_GIMBAL) {
    findings.warning(
      ['vehicle', 'gimbal', 'limit'],
      `the gimbal turns by ${three((study.vehicle.gimbal.limit * 180) / Math.PI)} deg; about 5 deg is usual. The unit may be wrong (a bare number is in radians); write it with deg.`,
    );
  }
  const { axialNose, axialTail } = study.vehicle.aerodynamics;
  for (const [key, value, [low, high]] of [
    ['axialNose', axialNose, PLAUSIBLE_AXIAL.nose],
    ['axialTail', axialTail, PLAUSIBLE_AXIAL.tail],
  ] as const) {
    if (value < low || value > high) {
      findings.warning(
        ['vehicle', 'aerodynamics'],
        `${key} is ${three(value)}; ${low} to ${high} is usual. It may refer to another area than the circle of the body’s diameter; check it.`,
      );
    }
  }
  for (const [key, d] of Object.entries(study.inputs)) {
    const why = d.kind === 'fixed' ? undefined : (ineffectiveBecause(key, study) ?? neverJams(key, study));
    if (why !== undefined)
      findings.warning(['inputs', key], `this input varies, but has no effect: ${why}. It would only add noise to a ranking; remove it.`);
  }
}

/** When and where a servo jams says nothing where none does. */
function neverJams(key: string, { inputs }: Study): string | undefined {
  if (key !== 'gimbal.jamTime' && key !== 'gimbal.jamAngle') return undefined;
  const may = (['gimbal.jamY', 'gimbal.jamZ'] as const).some((jam) => {
    const d = inputs[jam];
    return d !== undefined && !(d.kind === 'fixed' && d.value === 0);
  });
  return may ? undefined : 'no servo jams; give gimbal.jamY or gimbal.jamZ a chance';
}

function warnOfBalance(study: Study, n: NominalFacts, findings: Findings): void {
  const { aerodynamics: air, body } = study.vehicle;
  const up = air.normalNose.station - n.launchCentre;
  if (air.normalNose.slope > 0 && up < 0) {
    findings.foretell(
      ['vehicle', 'aerodynamics'],
      `going up, the air acts at ${three(air.normalNose.station)} m, ahead of the centre of mass at ${three(n.launchCentre)} m: a static margin of ${three(up / body.diameter)} calibres, so it turns about without control. Move mass forward or area aft, unless the gimbal is meant to hold it.`,
    );
  }
  const slope = air.normalTail.slope + air.legsNormal.slope;
  const centre = (air.normalTail.slope * air.normalTail.station + air.legsNormal.slope * air.legsNormal.station) / slope;
  const down = n.fallCentre - centre;
  if (slope > 0 && down < 0) {
    findings.foretell(
      ['vehicle', 'aerodynamics'],
      `falling tail first with the legs out, the air acts at ${three(centre)} m, behind the centre of mass at ${three(n.fallCentre)} m (nearer the tail, where the air comes from): a static margin of ${three(down / body.diameter)} calibres, so it flips. Move mass aft or the legs’ area forward.`,
    );
  }
}

function warnOfLanding(study: Study, n: NominalFacts, findings: Findings): void {
  const apogee = idealApogee(study, n);
  if (study.site.elevation + apogee > TROPOPAUSE) {
    findings.warning(
      ['site', 'elevation'],
      `a nominal flight reaches ${three(apogee)} m above a site at ${three(study.site.elevation)} m; the air model ends at ${TROPOPAUSE} m. Air above is extrapolated; do not trust results from there.`,
    );
  }
  const { curve } = study.landing;
  const peak = greatest(curve.thrust) * factor(study, 'landing');
  const weight = n.fallMass * n.gravity;
  if (peak <= weight) {
    findings.foretell(
      ['landing', 'curve'],
      `the landing thrust never exceeds ${three(peak)} N, the weight then is ${three(weight)} N: it cannot stop the fall. Choose a stronger motor.`,
    );
    return;
  }
  const speed = fallSpeed(apogee, n);
  const impulse = impulseOf(curve.time, curve.thrust) * flownImpulse(study, 'landing');
  // the casing that leaves and the propellant burnt are the most that mass can help
  const least = (n.fallMass - study.ascent.casingMass - n.landingPropellant) * speed;
  if (impulse < least) {
    findings.foretell(
      ['landing', 'curve'],
      `the landing impulse is ${three(impulse)} N s; stopping a fall from the nominal apogee of ${three(apogee)} m, ${three(speed)} m/s at the ground, takes at least ${three(least)} N s even in one stroke: it cannot land. Fly lower or choose a bigger landing motor.`,
    );
  }
}

/** m/s at the ground after a fall of this height from rest: v^2 = u^2 (1 - exp(-2 g h / u^2)), u the terminal speed. */
function fallSpeed(height: number, n: NominalFacts): number {
  if (n.dragDown === 0) return Math.sqrt(2 * n.gravity * height);
  const terminalSquared = (n.fallMass * n.gravity) / n.dragDown;
  return Math.sqrt(terminalSquared * -Math.expm1((-2 * n.gravity * height) / terminalSquared));
}

const flownImpulse = (study: Study, name: MotorName): number => impulseFactor(study[name], name, nominalInputs(study));
const flownBurnTime = (study: Study, name: MotorName): number => burnTimeFactor(study[name], name, nominalInputs(study));

/** Thrust over the curve's, on a nominal flight. */
const factor = (study: Study, name: MotorName): number => flownImpulse(study, name) / flownBurnTime(study, name);

/** m; straight up, no wind, air as dense as at the ground. Midpoint steps: an estimate for warnings, not a flight. */
function idealApogee(study: Study, n: NominalFacts): number {
  const { time, thrust } = study.ascent.curve;
  const stretch = flownBurnTime(study, 'ascent');
  const scale = factor(study, 'ascent');
  const burnt = impulseOf(time, thrust) * flownImpulse(study, 'ascent');
  let piece = 0;
  const thrustAt = (t: number): number => {
    const moment = t / stretch;
    while (piece < time.length - 1 && (time[piece + 1] ?? 0) <= moment) piece++;
    const t0 = time[piece] ?? 0;
    const f0 = thrust[piece] ?? 0;
    const t1 = time[piece + 1];
    const f1 = thrust[piece + 1];
    return t1 === undefined || f1 === undefined || moment < t0 ? 0 : scale * (f0 + ((f1 - f0) * (moment - t0)) / (t1 - t0));
  };
  let height = 0;
  let speed = 0;
  let impulse = 0;
  for (let t = 0; t < LONGEST_ASCENT; t += STEP) {
    const force = thrustAt(t + STEP / 2);
    const mass = n.launchMass - n.ascentPropellant * Math.min(1, impulse / burnt);
    const acceleration = (v: number) => (force - n.dragUp * v * Math.abs(v)) / mass - n.gravity;
    const middle = speed + 0.5 * STEP * acceleration(speed);
    const next = Math.max(0, speed + STEP * acceleration(middle));
    height += 0.5 * STEP * (speed + next);
    speed = next;
    impulse += force * STEP;
    if (speed === 0 && height > 0) break;
  }
  return height;
}
