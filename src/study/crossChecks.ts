/**
 * Physical nonsense that only shows when several values of a study are looked at together. Odd but possible is
 * nominalWarnings.ts.
 */
import { display } from './fields.ts';
import type { Findings, Path } from './findings.ts';
import { checkTouchdown } from './springChecks.ts';
import type { Motor, Study } from './study.ts';

/** Share of the body's length that a motor may stand out of it. */
const MOST_OUT = 0.1;

/**
 * Times below a plain cylinder's at which a moment of inertia is asked about. Invented: a slip of unit makes a
 * thousand.
 */
const SMALL_INERTIA = 50;

/** Notes what no vehicle can be, and asks about what hardly can. */
export function crossCheck(study: Study, findings: Findings): void {
  const { body, airframe, legs } = study.vehicle;
  const length = display(body.length, 'm');
  const within = (path: Path, station: number) => {
    if (station > body.length) {
      findings.problem(
        path,
        `read ${display(station, 'm')}; expected a station within the body, 0 m to ${length}. Measure it aft of the nose tip.`,
      );
    }
  };
  within(['vehicle', 'airframe', 'station'], airframe.station);
  within(['sensors', 'imu', 'station'], study.sensors.imu.station);

  // of all masses within a cylinder, halves at its ends have the greatest moment of inertia about their middle
  const most = airframe.mass * (body.length ** 2 + body.diameter ** 2) * 0.25;
  if (airframe.inertiaTransverse > most) {
    findings.problem(
      ['vehicle', 'airframe', 'inertiaTransverse'],
      `read ${display(airframe.inertiaTransverse, 'kg m^2')}; expected at most ${display(most, 'kg m^2')}, that of the whole mass at the two ends of the body. Check its unit.`,
    );
  }
  if (airframe.inertiaAxial > 2 * airframe.inertiaTransverse) {
    findings.problem(
      ['vehicle', 'airframe', 'inertiaAxial'],
      `read ${display(airframe.inertiaAxial, 'kg m^2')}; expected at most twice the transverse one, ${display(2 * airframe.inertiaTransverse, 'kg m^2')}: no body has more. Swap or mend them.`,
    );
  }
  if (legs.footStation < body.length) {
    findings.problem(
      ['vehicle', 'legs', 'footStation'],
      `read ${display(legs.footStation, 'm')}; expected feet at or behind the base, ${length}, or the vehicle stands on its body. Measure them deployed.`,
    );
  }
  if (legs.radius <= body.diameter / 2) {
    findings.problem(
      ['vehicle', 'legs', 'radius'],
      `read ${display(legs.radius, 'm')}; expected more than the body’s radius, ${display(body.diameter / 2, 'm')}. Measure from the axis, deployed.`,
    );
  }
  for (const name of ['accelerometer', 'gyro'] as const) {
    const { lsb, range } = study.sensors[name];
    if (lsb > range) {
      findings.problem(['sensors', name, 'lsb'], `read ${lsb}; expected at most the sensor’s range, ${range}. Check its unit.`);
    }
  }
  checkTouchdown(study, findings);
  askOfInertia(study, findings);
  checkMotor('ascent', study.ascent, body, findings);
  checkMotor('landing', study.landing, body, findings);
  const scheduling = study.control.torqueScheduling;
  if (scheduling !== null && scheduling.most < scheduling.least) {
    findings.problem(
      ['control', 'torqueScheduling', 'most'],
      `read ${scheduling.most}; expected at least the least factor, ${scheduling.least}. Swap them.`,
    );
  }
}

/**
 * Asks about a moment of inertia far below that of a plain cylinder of the airframe's mass and size. There could be
 * such a body, all its mass in one place; more often a unit is wrong: in g m^2 the number is the same as in kg m^2, a
 * thousand times too small.
 */
function askOfInertia(study: Study, findings: Findings): void {
  const { mass, inertiaAxial, inertiaTransverse } = study.vehicle.airframe;
  const { length, diameter } = study.vehicle.body;
  const cylinder = { inertiaAxial: (mass * diameter ** 2) / 8, inertiaTransverse: (mass * length ** 2) / 12 };
  const given = { inertiaAxial, inertiaTransverse };
  for (const key of ['inertiaAxial', 'inertiaTransverse'] as const) {
    if (given[key] > cylinder[key] / SMALL_INERTIA) continue;
    findings.warning(
      ['vehicle', 'airframe', key],
      `it is ${display(given[key], 'kg m^2')}; a plain cylinder of this mass and size has ${display(cylinder[key], 'kg m^2')}. Is it in another unit, such as g*m^2? Weigh and swing it, or check the unit.`,
    );
  }
}

function checkMotor(name: string, motor: Motor, body: { readonly length: number; readonly diameter: number }, findings: Findings): void {
  const front = motor.station - motor.length / 2;
  const back = motor.station + motor.length / 2;
  if (front < 0 || back > body.length * (1 + MOST_OUT)) {
    findings.problem(
      [name, 'station'],
      `read ${display(motor.station, 'm')}, so that the motor reaches from ${display(front, 'm')} to ${display(back, 'm')}; expected it within the body, 0 m to ${display(body.length, 'm')}, but for a tenth of the body’s length at the tail. Move or shorten it.`,
    );
  }
  if (2 * motor.radius > body.diameter) {
    findings.problem(
      [name, 'radius'],
      `read ${display(motor.radius, 'm')}; expected at most the body’s radius, ${display(body.diameter / 2, 'm')}. Give the radius, not the diameter.`,
    );
  }
  if (motor.nozzleStation < motor.station || motor.nozzleStation > back + motor.length) {
    findings.problem(
      [name, 'nozzleStation'],
      `read ${display(motor.nozzleStation, 'm')}; expected it from the motor’s middle, ${display(motor.station, 'm')}, to one motor length behind its end, ${display(back + motor.length, 'm')}. Mend one of them.`,
    );
  }
}
