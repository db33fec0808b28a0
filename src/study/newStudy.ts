/** A commented study to start from: complete, valid and flyable, with invented numbers. Writes nothing itself. */
import { UserError } from '../errors.ts';
import { SCHEMA_NAME, studySchemaText } from './jsonSchema.ts';

/** A file to write, its name without any folder. */
export interface NewFile {
  readonly name: string;
  readonly text: string;
}

/**
 * The files of a new study: `NAME.yaml`, both motor curves in it, and the schema by which editors help.
 * @param name letters, digits and dashes, a letter first   @throws UserError otherwise.
 */
export function newStudy(name: string): readonly [study: NewFile, schema: NewFile] {
  if (!/^[A-Za-z][\w-]*$/.test(name)) {
    throw new UserError(
      `new: read ${JSON.stringify(name)}; expected a name of letters, digits and dashes, a letter first. Write, for example, alight new my-lander.`,
    );
  }
  return [
    { name: `${name}.yaml`, text: template(name) },
    { name: SCHEMA_NAME, text: studySchemaText() },
  ];
}

const template = (name: string) => `# yaml-language-server: $schema=./${SCHEMA_NAME}
#
# A study to start from. The vehicle is invented and lands in a little under half of its flights: put your own numbers in its place.
#
# Your vehicle, in this order; after each step alight check ${name}.yaml --fly says what is wrong by now and what would mend it:
#   1. Scales and a ruler: body, masses, and where things sit, from the nose tip. Balance it on an edge for the centre of mass, without
#      motors. A rail long enough for the wind.
#   2. Both motors: thrust curves and masses from their sheets or a stand. The ascent motor needs about twice the weight at liftoff; the
#      landing motor must take away mass times fall speed, and more while it burns; then it should hold just under the weight.
#   3. What is not known yet, as a guess that flies: transverse inertia mass * length^2 / 16, axial mass * diameter^2 / 6; the coefficients
#      below as they are, each station in proportion to the body's length, planformArea 0.93 * length * diameter; thrust in
#      torqueScheduling the ascent motor's mean, arm from nozzle to centre of mass; gains as they are.
#   4. alight tune ${name}.yaml --drops finds the heights to light at; paste its rules. They hold for this vehicle only.
#   5. alight fly ${name}.yaml --retune. Lands some? Then alight rank says what to measure next: mostly motors, sensors and rail. Replace
#      guesses by measurements, spreads too, in that order; coefficients by the shape (geometry:) or a wind tunnel; then gains, by
#      alight tune ${name}.yaml --control. Lands none? check --fly says why; a shape that turns over in the model may do so in the air.
#
#   alight check ${name}.yaml     is it sound? every problem at once
#   alight fly ${name}.yaml       fly it
#   alight rank ${name}.yaml      which uncertainty matters most
#   alight inputs                 everything that may vary
#
# Quantities carry units: 84 mm, 25 ms, 12 deg, 0.3 deg/s, 15 degC, 3 %. A bare number is SI (m, kg, s, N, rad, K, Pa).
# Stations are measured aft from the nose tip, compass angles clockwise from north.

title: ${name}
seed: 1 # the same seed gives the same flights
flights: 2000
design: independent # or latinHypercube, sobol

# Everything but the two motors. Weigh it; hang it by a thread for its centre of mass; swing it for its inertias.
vehicle:
  body: { length: 860 mm, diameter: 84 mm }
  airframe:
    mass: 745 g
    station: 560 mm # its centre of mass
    inertiaAxial: 0.0013 kg*m^2
    inertiaTransverse: 0.034 kg*m^2
  # Coefficients on the circle of the body's diameter; Nose and Tail say where the air comes from. Or give the shape, under
  # geometry: in place of coefficients:, and have them computed.
  aerodynamics:
    coefficients:
      axialNose: 0.55
      axialTail: 0.95
      normalNose: { slope: 6.0, station: 630 mm }
      normalTail: { slope: 4.0, station: 420 mm }
      crossflowDrag: 1.2
      planformArea: 0.067 m^2
      planformStation: 450 mm
      rollDamping: -0.6
      legsAxial: 0.7 # what the deployed legs add
      legsNormal: { slope: 1.2, station: 800 mm }
  gimbal: { limit: 7 deg, lag: 25 ms, rateLimit: 5.2 rad/s }
  legs:
    count: 4
    azimuth: 45 deg
    radius: 270 mm # of the feet from the axis, deployed
    footStation: 900 mm
    release: { afterApogee: 1 s } # or { atHeight: 20 m }
    deploymentTime: 0.3 s

# The motor that flies it up. The curve is time and thrust, linear between the points; or name a CSV file beside this one with
# the header time_s,thrust_N.
ascent:
  curve: [[0, 0], [0.04, 14.9], [0.15, 21.0], [0.35, 16.1], [0.6, 13.0], [1.92, 12.4], [2.98, 11.1], [3.2, 0]]
  casingMass: 24 g
  propellantMass: 22 g
  station: 812 mm # the motor's middle
  length: 95 mm
  radius: 13 mm
  nozzleStation: 865 mm # where its thrust acts

# The motor it lands on: a strong short peak, then a sustain just under the weight (7.8 N), which lets it down slowly.
landing:
  curve: [[0, 0], [0.05, 24], [0.15, 35.2], [0.64, 30.2], [0.79, 8.5], [0.99, 7.7], [4.2, 6.2], [4.55, 0]]
  casingMass: 22 g
  propellantMass: 24 g
  station: 715 mm
  length: 90 mm
  radius: 13 mm
  nozzleStation: 765 mm
  ignitionDelay: 110 ms # from the command to the start of the curve

ejectDelay: 20 ms # after landing thrust starts, the spent ascent casing leaves

rail: { length: 1.2 m, tilt: 0 deg, azimuth: 0 deg }

# The flight computer knows only what it measures. Late starts, gaps and stalls are where its belief goes wrong.
computer:
  rate: 100 Hz
  transitionGap: 15 ms # nothing runs for so long after each change of phase
  stallRate: 0.15 1/s
  stallDuration: 30 ms

sensors:
  rounding: on
  imu: { station: 360 mm, offsetY: 6 mm, offsetZ: -4 mm }
  accelerometer: { noise: 0.0015 m/s^2/Hz^0.5, lsb: 0.0048 m/s^2, range: 16 gee }
  gyro: { noise: 0.005 deg/s/Hz^0.5, lsb: 0.03 deg/s, range: 1000 deg/s }
  barometer: none # or { noise: 0.05 m/Hz^0.5, lag: 50 ms, speedGain: 0.5 1/s^2, heightGain: 1 1/s }

phases:
  liftoffThreshold: 13 m/s^2
  liftoffConfirm: 50 ms
  replay: off # on: the computer goes back to the first sample of the liftoff
  burnoutThreshold: 3 m/s^2
  burnoutConfirm: 50 ms

control:
  kp: 0.5
  kd: 0.12 s
  ki: 0.25 1/s
  torqueScheduling: { thrust: 14.4 N, arm: 190 mm } # or off
  driftDamping: 0.06 s/m # leans against the believed drift
  driftTilt: 8 deg

# The first rule is flown unless another is named; alight compare flies all of them on the same simulated luck, alight tune
# finds better constants. They absorb the mean error of the belief: change the computer or its sensors, and tune again.
ruleDefaults: { lead: 110 ms, tiltGuard: 35 deg, insideTick: off }
rules:
  fixed-height: { kind: fixedHeight, height: 7 m }
  apogee-line: { kind: apogeeLine, c0: -3.4 m, c1: 0.24 }

# What counts as landed.
limits:
  sink: 3 m/s
  slide: 1.5 m/s
  tilt: 15 deg
  radius: none # or, say, 30 m from the pad

site:
  temperature: 15 degC
  pressure: 1013 hPa
  windSpeed: 2 m/s # at 10 m
  windDirection: 250 deg # it comes from there
  gustScale: 1

# What varies from flight to flight. Absent inputs stay at their nominal values, which are the numbers above. A name with *
# stands for every input it matches, each drawn on its own. With % the spread is a share of the nominal value. Other kinds:
#   { truncatedNormal: { mean: 2 m/s, sd: 1 m/s, low: 0 m/s, high: 5 m/s } }
#   { triangular: { low: 0.95, mode: 1, high: 1.02 } }        { beta: { alpha: 2, beta: 5, low: 0 s, high: 1 s } }
#   { student: { scale: 2.3 %, freedom: 2 } }, from three firings: see alight measure
#   { discrete: { values: [0.98, 1.01], weights: [1, 3] } }   { measured: { file: bench.csv, column: delay_ms, unit: ms, as: smooth } }
inputs:
  ascent.impulseFactor: { normal: { sd: 3 % } }
  ascent.burnTimeFactor: { normal: { sd: 3 % } }
  landing.impulseFactor: { normal: { sd: 2 % } }
  landing.burnTimeFactor: { normal: { sd: 3 % } }
  landing.ignitionDelay: { lognormal: { logSd: 0.25 } }
  ascent.misalignment*: { normal: { sd: 0.3 deg } }
  landing.misalignment*: { normal: { sd: 0.3 deg } }
  gimbal.trim*: { normal: { sd: 0.2 deg } }
  airframe.mass: { normal: { sd: 1 % } }
  airframe.station: { normal: { sd: 3 mm } }
  air.axialFactor: { normal: { sd: 8 % } }
  air.lateralFactor: { normal: { sd: 10 % } }
  air.rollAsymmetry: { normal: { sd: 0.02 } }
  rail.tilt: { normal: { sd: 0.5 deg } }
  rail.azimuth: { uniform: { low: 0 deg, high: 360 deg } }
  wind.speed: { uniform: { low: 0 m/s, high: 4 m/s } }
  wind.direction: { uniform: { low: 0 deg, high: 360 deg } }
  site.temperature: { uniform: { low: 5 degC, high: 27 degC } }
  accelerometer.bias*: { normal: { sd: 0.035 m/s^2 } }
  gyro.bias*: { normal: { sd: 0.05 deg/s } }
  alignment.*: { normal: { sd: 0.3 deg } }
  timing.transitionGap: { uniform: { low: 0 ms, high: 30 ms } }
  legs.failure*: { chance: 1.5 % }
  landing.igniterFails: { chance: 1.5 % }

# Inputs that go together, by Spearman's rank correlation.
correlations:
  - { between: [ascent.impulseFactor, ascent.burnTimeFactor], rank: 0.2 }
`;
