/** What one drop of the nominal vehicle says: how high it went and where it had to light. Plain data. */

import type { Outcome } from '../../flight/outputs.ts';

/** One drop, braked at its best moment. Burn heights are what is left at the command less the way during the lead. */
export interface Drop {
  /** Of the ascent motor, over its nominal curve’s. */
  readonly impulseFactor: number;
  /** m */
  readonly apogee: number;
  readonly believedApogee: number;
  /** m, true and believed; the believed one is what a rule's constants must be in. */
  readonly burnHeight: number;
  readonly believedBurnHeight: number;
  /** m, true: at the command, and where thrust starts (null when there is none before the ground). */
  readonly commandHeight: number;
  readonly thrustHeight: number | null;
  /** m/s at the command, true and believed. */
  readonly commandSpeed: number;
  readonly believedCommandSpeed: number;
  /** m/s, worst over contacts: the softest touchdown there is. */
  readonly sink: number;
  /** The sink speed is within its limit. */
  readonly soft: boolean;
  /** How the whole flight ended: a soft touchdown may still slide, lean, fall over, or follow a flip. */
  readonly outcome: Outcome;
  /**
   * The softest is at an end of what can be tried: lit at once when the descent is recognised, or hardly before the
   * ground.
   */
  readonly end: 'apogee' | 'ground' | null;
  /** m/s at the ground without a landing motor. */
  readonly fallSpeed: number;
}
