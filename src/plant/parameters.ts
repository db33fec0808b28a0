/** The true numbers of one flight: flat, named, SI, one shape for all flights. Filled in by flight/setup.ts; nothing is computed here. */
import type { CurveTable } from '../maths/thrustCurve.ts';

/** One motor of this flight. */
export interface TrueMotor {
  readonly curve: CurveTable;
  /** Scales the thrust: impulse factor over burn-time factor. */
  readonly thrustScale: number;
  readonly burnTimeFactor: number;
  readonly casingMass: number;
  readonly propellantMass: number;
  readonly station: number;
  /** m^2; axial and transverse inertia per kg of the solid cylinder: R^2/2 and (3 R^2 + L^2)/12. */
  readonly gyrationAxial: number;
  readonly gyrationTransverse: number;
  readonly nozzleStation: number;
  /** rad: misalignment plus the gimbal's trim. */
  readonly angleY: number;
  readonly angleZ: number;
  readonly offsetY: number;
  readonly offsetZ: number;
  readonly ignitionDelay: number;
}

export interface PlantParameters {
  readonly gravity: number;

  readonly ascent: TrueMotor;
  readonly landing: TrueMotor;
  readonly landingLights: boolean;
  readonly ejectDelay: number;

  readonly airframeMass: number;
  readonly airframeStation: number;
  readonly airframeInertiaAxial: number;
  readonly airframeInertiaTransverse: number;

  /** m^2, pi d^2/4. */
  readonly area: number;
  readonly diameter: number;
  readonly bodyLength: number;
  /** Coefficients with this flight's factors in them. */
  readonly axialNose: number;
  readonly axialTail: number;
  readonly axialLegs: number;
  readonly normalNose: number;
  readonly normalNoseStation: number;
  readonly normalTail: number;
  readonly normalTailStation: number;
  readonly normalLegs: number;
  readonly normalLegsStation: number;
  /** m^2: crossflow drag coefficient times planform area. */
  readonly crossflow: number;
  readonly crossflowStation: number;
  readonly rollAsymmetry: number;
  readonly rollDamping: number;

  readonly servoLag: number;
  readonly servoRate: number;

  readonly railLength: number;
  readonly railTilt: number;
  readonly railAzimuth: number;

  readonly siteTemperature: number;
  readonly sitePressure: number;
  readonly windSpeed: number;
  readonly windExponent: number;
  /** Unit vector the mean wind blows toward: east, north. */
  readonly windEast: number;
  readonly windNorth: number;
  readonly gustScale: number;

  /** Ground normal. */
  readonly groundX: number;
  readonly groundY: number;
  readonly groundZ: number;

  readonly legCount: number;
  readonly legRadius: number;
  readonly footStation: number;
  readonly deploymentTime: number;
  /** Cosine and sine of each leg's azimuth about the axis, from body y toward z. */
  readonly legCos: Float64Array;
  readonly legSin: Float64Array;
  /** 1 where the leg does not lock. */
  readonly legFails: Uint8Array;
}
