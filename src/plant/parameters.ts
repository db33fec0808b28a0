/**
 * The true numbers of one flight: flat, named, SI, made once and overwritten. Filled in by flight/setup.ts; nothing is
 * computed here.
 */
import { CurveTable } from '../maths/thrustCurve.ts';

/** Legs that arrays have room for. */
export const MOST_LEGS = 8;

/** One motor of this flight. */
export class TrueMotor {
  readonly curve: CurveTable = new CurveTable();
  /** Scales the thrust: impulse factor over burn-time factor. */
  thrustScale: number = 0;
  burnTimeFactor: number = 0;
  casingMass: number = 0;
  propellantMass: number = 0;
  station: number = 0;
  /** m^2; axial and transverse inertia per kg of the solid cylinder: R^2/2 and (3 R^2 + L^2)/12. */
  gyrationAxial: number = 0;
  gyrationTransverse: number = 0;
  nozzleStation: number = 0;
  /** rad: misalignment plus the gimbal's trim. */
  angleY: number = 0;
  angleZ: number = 0;
  offsetY: number = 0;
  offsetZ: number = 0;
  ignitionDelay: number = 0;
}

export class PlantParameters {
  gravity: number = 0;

  readonly ascent: TrueMotor = new TrueMotor();
  readonly landing: TrueMotor = new TrueMotor();
  landingLights: boolean = false;
  ejectDelay: number = 0;

  airframeMass: number = 0;
  airframeStation: number = 0;
  airframeInertiaAxial: number = 0;
  airframeInertiaTransverse: number = 0;

  /** m^2, pi d^2/4. */
  area: number = 0;
  diameter: number = 0;
  bodyLength: number = 0;
  /** Coefficients with this flight's factors in them. */
  axialNose: number = 0;
  axialTail: number = 0;
  axialLegs: number = 0;
  normalNose: number = 0;
  normalNoseStation: number = 0;
  normalTail: number = 0;
  normalTailStation: number = 0;
  normalLegs: number = 0;
  normalLegsStation: number = 0;
  /** m^2: crossflow drag coefficient times planform area. */
  crossflow: number = 0;
  crossflowStation: number = 0;
  rollAsymmetry: number = 0;
  rollDamping: number = 0;

  servoLag: number = 0;
  servoRate: number = 0;
  /** Servos toward body y and z that jam, when (s), and the deflection they go to and keep (rad). */
  jamsY: boolean = false;
  jamsZ: boolean = false;
  jamTime: number = 0;
  jamAngle: number = 0;

  railLength: number = 0;
  railTilt: number = 0;
  railAzimuth: number = 0;

  siteTemperature: number = 0;
  sitePressure: number = 0;
  windSpeed: number = 0;
  windExponent: number = 0;
  /** Unit vector the mean wind blows toward: east, north. */
  windEast: number = 0;
  windNorth: number = 0;
  gustScale: number = 0;

  /** Ground normal. */
  groundX: number = 0;
  groundY: number = 0;
  groundZ: number = 0;

  legCount: i32 = 0;
  legRadius: number = 0;
  footStation: number = 0;
  deploymentTime: number = 0;
  /** Cosine and sine of each leg's azimuth about the axis, from body y toward z. */
  legCos: Float64Array = new Float64Array(MOST_LEGS);
  legSin: Float64Array = new Float64Array(MOST_LEGS);
  /** 1 where the leg does not lock. */
  legFails: Float64Array = new Float64Array(MOST_LEGS);

  /** Touchdown is simulated, foot by foot, instead of judged by rules; the rest is read only then. */
  springs: boolean = false;
  /** Of a leg and the ground under its foot, in series: N/m, N s/m. */
  footStiffness: number = 0;
  footDamping: number = 0;
  /** N; the greatest force a foot stands. Infinity: any. */
  footStrength: number = Number.POSITIVE_INFINITY;
  friction: number = 0;
  /** Steps a tick while anything touches or is about to. */
  contactSteps: i32 = 1;
}
