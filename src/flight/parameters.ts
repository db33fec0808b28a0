/**
 * All one flight needs: the true numbers, the flight computer's, the limits it is judged by, and its noise. Filled in
 * by setup.ts.
 */
import { ComputerParameters } from '../avionics/parameters.ts';
import { AleaSeed } from '../maths/alea.ts';
import { TouchdownLimits } from '../plant/contact/groundContact.ts';
import { PlantParameters } from '../plant/parameters.ts';

export class FlightParameters {
  readonly plant: PlantParameters = new PlantParameters();
  readonly computer: ComputerParameters = new ComputerParameters();
  readonly limits: TouchdownLimits = new TouchdownLimits();
  /** m, or Infinity. */
  allowedRadius: number = Number.POSITIVE_INFINITY;
  /** Cosine of the true tilt beyond which control is lost. */
  lostControlCos: number = 0;
  /** s, true. */
  timeLimit: number = 0;
  /** s, true length of a tick. */
  tick: number = 0;
  substeps: i32 = 1;
  /** 1/s, and s: how often the computer stalls, and for how long in the mean. */
  stallRate: number = 0;
  stallDuration: number = 0;
  /** m: where the inertial sensor sits. */
  imuStation: number = 0;
  imuY: number = 0;
  imuZ: number = 0;

  /** Whether there is any noise, gust or stall at all; the streams' starts are read only then. */
  noisy: boolean = false;
  readonly inertialSeed: AleaSeed = new AleaSeed();
  readonly barometerSeed: AleaSeed = new AleaSeed();
  readonly gustSeed: AleaSeed = new AleaSeed();
  readonly stallSeed: AleaSeed = new AleaSeed();
}
