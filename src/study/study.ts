/**
 * A study as every later room sees it: frozen, complete, SI. Not the file a person writes (schema.ts) and not what
 * varies from flight to flight (the `inputs` map only says how; drawing happens in inputs/).
 *
 * Plain data throughout, so that it can be cloned into a worker and written back out.
 * Stations are distances aft of the nose tip in metres; angles are radians; compass angles turn clockwise from north.
 */

import type { InputKey } from '../inputs/catalogue.ts';
import type { Correlation } from '../inputs/correlations.ts';
import type { Level, Stays } from '../inputs/stays.ts';
import type { InputDistributions } from '../inputs/varying.ts';

/** A thrust curve: points in time order, linear between them, zero outside. */
export interface ThrustCurve {
  /** s, strictly increasing, starting at 0 or later. */
  readonly time: readonly number[];
  /** N, >= 0, same length as `time`. */
  readonly thrust: readonly number[];
}

/** One solid motor as built into the vehicle. */
export interface Motor {
  readonly curve: ThrustCurve;
  /** kg; what stays when the propellant is gone. */
  readonly casingMass: number;
  /** kg, loaded. */
  readonly propellantMass: number;
  /** m; the motor's middle. Casing and propellant are one solid cylinder about it. */
  readonly station: number;
  /** m, of that cylinder. */
  readonly length: number;
  /** m, of that cylinder. */
  readonly radius: number;
  /** m; where the thrust acts. */
  readonly nozzleStation: number;
  /** s from the ignition command (landing) or time 0 (ascent) to the start of the curve. */
  readonly ignitionDelay: number;
  /** null: the curve holds at any temperature. */
  readonly temperature: MotorTemperature | null;
}

/** How a motor goes with its own temperature (motorFactors.ts). */
export interface MotorTemperature {
  /** K; the curve holds here. */
  readonly reference: number;
  /** Shares of total impulse and of burn time, per K above it. */
  readonly impulsePerKelvin: number;
  readonly burnTimePerKelvin: number;
  /** K; null: the air's at the ground. */
  readonly stated: number | null;
}

/** A normal-force slope (per radian, on the body's cross-section) and the station it acts at. */
export interface NormalForce {
  readonly slope: number;
  readonly station: number;
}

/** Air-force coefficients; reference area pi d^2/4. `nose` and `tail` say where the air comes from. */
export interface Aerodynamics {
  readonly axialNose: number;
  readonly axialTail: number;
  readonly normalNose: NormalForce;
  readonly normalTail: NormalForce;
  /** Drag coefficient of the body across the flow, on the planform area. */
  readonly crossflowDrag: number;
  /** m^2 */
  readonly planformArea: number;
  /** m; the planform's centroid. */
  readonly planformStation: number;
  /** Rolling-moment coefficient at zero roll rate (spin-making asymmetry), on area and diameter. */
  readonly rollAsymmetry: number;
  /** Roll-damping coefficient, < 0, per p d/(2 V). */
  readonly rollDamping: number;
  /** What the deployed legs add to the axial coefficient. */
  readonly legsAxial: number;
  /** What the deployed legs add to the normal-force slope. */
  readonly legsNormal: NormalForce;
}

export interface Vehicle {
  readonly body: { readonly length: number; readonly diameter: number };
  /** Everything but the two motors; inertias about its own centre of mass. */
  readonly airframe: {
    readonly mass: number;
    readonly station: number;
    readonly inertiaAxial: number;
    readonly inertiaTransverse: number;
  };
  readonly aerodynamics: Aerodynamics;
  readonly gimbal: {
    readonly limit: number;
    readonly lag: number;
    readonly rateLimit: number;
  };
  readonly legs: {
    /** 3..8 */
    readonly count: number;
    /** rad about the axis from body +y toward +z, of the first leg. */
    readonly azimuth: number;
    /** m from the axis, deployed. */
    readonly radius: number;
    /** m; the feet when deployed. */
    readonly footStation: number;
    /** When the release is commanded: so long after believed apogee, or at this believed height on the way down. */
    readonly release: { readonly kind: 'afterApogee'; readonly time: number } | { readonly kind: 'atHeight'; readonly height: number };
    /** s from release to locked. */
    readonly deploymentTime: number;
    /** N/m and N s/m of each foot along the ground's normal; null where touchdown is judged by rules. */
    readonly stiffness: number | null;
    readonly damping: number | null;
    /** N, the greatest force on a foot; null: any. */
    readonly strength: number | null;
  };
}

export interface Rail {
  readonly length: number;
  /** rad from the vertical. */
  readonly tilt: number;
  /** rad, the compass direction it leans toward. */
  readonly azimuth: number;
}

/** The flight computer's loop. */
export interface Computer {
  /** Hz */
  readonly rate: number;
  /** m/s^2 the navigator takes gravity to be. */
  readonly gravity: number;
  /** s after each phase change with nothing run or integrated (nominal). */
  readonly transitionGap: number;
  /** 1/s; chance per second of a stall (nominal). */
  readonly stallRate: number;
  /** s; mean duration of a stall (nominal). */
  readonly stallDuration: number;
  /** How the first tick after a stall integrates: over the measured time, or as if one tick had passed. */
  readonly afterStall: 'measuredTime' | 'oneTick';
}

export interface InertialSensor {
  /** density: unit per root Hz. */
  readonly noise: number;
  /** smallest step; 0 is none. */
  readonly lsb: number;
  /** readings are clipped at +- this. */
  readonly range: number;
}

export interface Sensors {
  /** Off: no sensor is rounded to its smallest step. */
  readonly rounding: boolean;
  readonly imu: {
    readonly station: number;
    readonly offsetY: number;
    readonly offsetZ: number;
  };
  readonly accelerometer: InertialSensor;
  readonly gyro: InertialSensor;
  /** null: none fitted. */
  readonly barometer: null | {
    /** m per root Hz */
    readonly noise: number;
    /** s, first-order lag. */
    readonly lag: number;
    /** 1/s^2: speed correction per metre of height error per second. */
    readonly speedGain: number;
    /** 1/s: height correction per metre of height error per second. */
    readonly heightGain: number;
  };
}

export interface PhaseLogic {
  /** m/s^2 of axial specific force, above which a liftoff run counts. */
  readonly liftoffThreshold: number;
  readonly liftoffConfirm: number;
  /** Integrate from the first sample of the liftoff run instead of from its confirmation. */
  readonly replay: boolean;
  /** m/s^2, below which a burnout run counts. */
  readonly burnoutThreshold: number;
  readonly burnoutConfirm: number;
}

export interface Control {
  /** rad of deflection per rad of attitude error. */
  readonly kp: number;
  /** s: rad per rad/s. */
  readonly kd: number;
  /** 1/s: rad per rad s. */
  readonly ki: number;
  /** rad s; bound on the integral. */
  readonly integralLimit: number;
  /** null: gains are constant. */
  readonly torqueScheduling: null | {
    readonly thrust: number;
    readonly arm: number;
    readonly least: number;
    readonly most: number;
  };
  /** rad per m/s of believed drift; 0 turns it off. */
  readonly driftDamping: number;
  /** rad; most lean the drift damping may ask for. */
  readonly driftTilt: number;
}

/** One named ignition rule: which kind, and its constants in SI under the names its kind declares (avionics/rules). */
export interface RuleChoice {
  readonly name: string;
  readonly kind: string;
  readonly constants: Readonly<Record<string, number>>;
  /** s; lead-time compensation. */
  readonly lead: number;
  /** rad; ignition is withheld beyond this believed tilt. */
  readonly tiltGuard: number;
  /** Time the command inside the tick by extrapolation. */
  readonly insideTick: boolean;
}

export interface Touchdown {
  /** Judged by rules at the instant of contact, or simulated: legs as springs on ground with friction. */
  readonly model: 'rules' | 'springs';
  /** s; steps while anything touches. Only of springs. */
  readonly step: number;
}

/** What the feet stand on; only of springs. */
export interface Ground {
  /** One coefficient, at rest and sliding. */
  readonly friction: number;
  /** N/m under a foot; null: rigid. */
  readonly stiffness: number | null;
}

/** Sink, slide and tilt are null, not judged, only where touchdown is simulated. */
export interface Limits {
  /** m/s, normal to the ground at a contact. */
  readonly sink: number | null;
  /** m/s along the ground. */
  readonly slide: number | null;
  /** rad to the ground's normal. */
  readonly tilt: number | null;
  /** rad from the vertical: control is lost beyond it, going up or in the landing burn. */
  readonly lostControlTilt: number;
  /** m from the pad; null: no limit. */
  readonly radius: number | null;
  /** s; a flight still unfinished then has no result. */
  readonly time: number;
}

export interface Site {
  /** rad; null: standard gravity. */
  readonly latitude: number | null;
  /** m above the ellipsoid, for gravity only. */
  readonly elevation: number;
  /** K at the ground. */
  readonly temperature: number;
  /** Pa at the ground. */
  readonly pressure: number;
  /** m/s at 10 m. */
  readonly windSpeed: number;
  /** rad, the compass direction the wind comes from. */
  readonly windDirection: number;
  readonly windExponent: number;
  /** Scales all three gust intensities; 0 is none. */
  readonly gustScale: number;
  /** rad */
  readonly groundSlope: number;
  /** rad, the compass direction toward which the ground falls. */
  readonly groundAzimuth: number;
}

export type DesignKind = 'independent' | 'latinHypercube' | 'sobol';

/** Attempts in a row by one builder with one vehicle. */
export interface CampaignPlan {
  /** At most. */
  readonly attempts: number;
  readonly flightsADay: number;
  /** Motors of each of the two kinds in one purchase; an attempt takes one of each. */
  readonly motorsInBatch: number;
  /** After what an attempt the airframe is built anew. */
  readonly rebuild: {
    /** m/s of touchdown speed into the ground, above which; null: never for that. */
    readonly sink: number | null;
    readonly tippedOver: boolean;
  };
  /** What the builder sees of a height miss (model section 13). */
  readonly observation: {
    /** m; standard deviation of what is read off. */
    readonly error: number;
    /** m; where the lowest point is meant to be when the descent is slowest: misses are read from there. */
    readonly aim: number;
  };
  /** null: not given. */
  readonly costs: null | {
    readonly currency: string;
    /** Of one attempt, its pair of motors included. */
    readonly attempt: number;
    readonly rebuild: number;
  };
}

/** What was learnt of the vehicle at hand: joint draws of what stays with it, in normal scores. */
export interface StandingSample {
  readonly particles: number;
  /** Whose score stands in each column; levels of one input have each their own. */
  readonly parts: readonly { readonly input: InputKey; readonly level: Level }[];
  /** Single-precision numbers, little-endian, particle by particle, as base64: plain data of a small size. */
  readonly scores: string;
}

export interface Study {
  readonly title: string;
  /** Whole number or text; every random stream is keyed by it. */
  readonly seed: string;
  /** Flights flown when the command line does not say. */
  readonly flights: number;
  readonly design: DesignKind;
  readonly vehicle: Vehicle;
  readonly ascent: Motor;
  readonly landing: Motor;
  /** s after landing thrust starts, until the spent ascent casing leaves. */
  readonly ejectDelay: number;
  readonly rail: Rail;
  readonly computer: Computer;
  /** Equal integration steps per tick. */
  readonly substeps: number;
  readonly sensors: Sensors;
  readonly phases: PhaseLogic;
  readonly control: Control;
  /** At least one; the first is flown unless another is named. Names are unique. */
  readonly rules: readonly RuleChoice[];
  readonly limits: Limits;
  readonly touchdown: Touchdown;
  readonly ground: Ground;
  readonly site: Site;
  /** What varies; an absent input stays at its nominal value. */
  readonly inputs: InputDistributions;
  /** What of that stays from flight to flight; only campaigns look at it. */
  readonly stays: Stays;
  /** Drawn from in place of what stays; null: nothing was learnt. */
  readonly sample: StandingSample | null;
  readonly campaign: CampaignPlan;
  readonly correlations: readonly Correlation[];
}
