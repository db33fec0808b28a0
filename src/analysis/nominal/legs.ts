/** What the nominal legs are good for, without a flight: sag, damping, the sink they stand and what breaks first. */
import { depthPerSink, forcePerSink } from '../../plant/contact/survivableSink.ts';
import { normalGravity, STANDARD_GRAVITY } from '../../plant/gravity.ts';
import type { Study } from '../../study/study.ts';
import { nominalLegs } from '../../study/touchdownLimits.ts';

/** Of critical damping: less rebounds, more presses harder at the touch. From the oscillator in closed form. */
export const USEFUL_DAMPING = [0.6, 0.8] as const;

export interface LegReading {
  readonly count: number;
  /** kg, and m of the centre of mass above the feet: as it comes down, its landing motor full. */
  readonly mass: number;
  readonly height: number;
  /** Of a foot with the ground under it: N/m, N s/m. */
  readonly stiffness: number;
  readonly damping: number;
  /** N; null: any. */
  readonly strength: number | null;
  /** m; how far the weight presses them in, and how far the base is above the feet. */
  readonly sag: number;
  readonly room: number;
  /** Of critical, upright on all legs; and N s/m of a leg, without what the ground takes, at the ends of the useful. */
  readonly dampingRatio: number;
  readonly usefulDamping: readonly [number, number];
  /** m/s: at which a leg breaks (null: never), and at which the base reaches the ground; the less is what they stand. */
  readonly breaksAt: number | null;
  readonly bottomsAt: number;
  readonly survivable: number;
  readonly breaksFirst: 'strength' | 'base';
  /** m; the fall from rest that ends at that sink. */
  readonly standsFallFrom: number;
  readonly friction: number;
  /** The edge between two feet over the height of the centre of mass: with more friction what slides tips. */
  readonly tippingFriction: number;
}

/** @returns null where touchdown is judged by rules */
export function readLegs(study: Study): LegReading | null {
  const nominal = nominalLegs(study);
  if (nominal === null) return null;
  const { mass, centre, stiffness, damping, strength, survivable, friction } = nominal;
  const { body, legs } = study.vehicle;
  const { latitude, elevation } = study.site;
  const gravity = latitude === null ? STANDARD_GRAVITY : normalGravity(latitude, elevation);
  const onEach = mass / legs.count;
  const room = legs.footStation - body.length;
  const critical = 2 * Math.sqrt(stiffness * onEach);
  // What the ground under a foot leaves of a leg's own damping.
  const left = damping / (legs.damping ?? damping);
  const [low, high] = USEFUL_DAMPING;
  const breaksAt = strength / forcePerSink(onEach, stiffness, damping);
  const bottomsAt = room / depthPerSink(onEach, stiffness, damping);
  const height = legs.footStation - centre;
  return {
    count: legs.count,
    mass,
    height,
    stiffness,
    damping,
    strength: Number.isFinite(strength) ? strength : null,
    sag: (onEach * gravity) / stiffness,
    room,
    dampingRatio: damping / critical,
    usefulDamping: [(low * critical) / left, (high * critical) / left],
    breaksAt: Number.isFinite(breaksAt) ? breaksAt : null,
    bottomsAt,
    survivable,
    breaksFirst: breaksAt < bottomsAt ? 'strength' : 'base',
    standsFallFrom: (survivable * survivable) / (2 * gravity),
    friction,
    tippingFriction: (legs.radius * Math.cos(Math.PI / legs.count)) / height,
  };
}
