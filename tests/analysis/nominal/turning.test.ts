/**
 * Moments and centres of pressure read off the model's forces, against the model's own formulas by hand (model section
 * 5).
 */
import { describe, expect, it } from 'vitest';
import { NominalFlights } from '../../../src/analysis/drops/nominalFlights.ts';
import { type Instant, Instants } from '../../../src/analysis/nominal/instants.ts';
import { airCentre, turning } from '../../../src/analysis/nominal/turning.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const demo = demoStudy();
const seen = new Instants();
new NominalFlights(demo).fly(demo.rules[0], {}, seen);
const { plant } = seen.setup;
const AREA = (Math.PI / 4) * 0.094 ** 2;
const rising = seen.burning('ascent')[150];
const straight: Instant = { ...rising, along: 30, across: 0, legShare: 0, density: 1.2 };
const falling: Instant = { ...straight, along: -20, legShare: 1 };

describe('centre of pressure', () => {
  it('of a flow along the axis is that of the slope alone, from either end', () => {
    near(airCentre(straight, plant)?.pressure ?? Number.NaN, 0.63, 2e-3);
    const legs = (4 * 0.42 + 1.2 * 0.8) / 5.2;
    near(airCentre(falling, plant)?.pressure ?? Number.NaN, legs, 2e-3);
    near(airCentre(falling, plant, 0)?.pressure ?? Number.NaN, 0.42, 2e-3);
  });

  it('moves toward the planform the more the wind blows across', () => {
    const across: Instant = { ...straight, across: 15 };
    // Strengths: slope times |u|, crossflow drag times planform times the cross speed.
    const [slope, cross] = [AREA * 6 * 30, 1.2 * 0.084 * 15];
    near(airCentre(across, plant)?.pressure ?? Number.NaN, (slope * 0.63 + cross * 0.45) / (slope + cross), 1e-9);
  });

  it('margins are positive where the air turns the vehicle into its flow, tail first too', () => {
    const up = airCentre(straight, plant);
    near(up?.margin ?? Number.NaN, ((up?.pressure ?? 0) - straight.load.xcg) / 0.094, 1e-12);
    const down = airCentre(falling, plant);
    near(down?.margin ?? Number.NaN, (falling.load.xcg - (down?.pressure ?? 0)) / 0.094, 1e-12);
  });
});

describe('moments', () => {
  it('by attitude, by rate and by gimbal are the derivatives of the model’s', () => {
    const t = turning(straight, plant);
    const { load } = straight;
    const q = 0.5 * 1.2 * 30 * 30 * AREA * 6;
    // The nudge of 1e-5 rad brings as much of the crossflow, which at no angle has no slope.
    near(t.stiffness, q * (0.63 - load.xcg), 1e-4);
    const squares = AREA * 6 * (0.63 - load.xcg) ** 2 + 1.2 * 0.084 * (0.45 - load.xcg) ** 2;
    const jet = load.ascentFlow * (0.865 - load.xcg) ** 2;
    near(t.damping, 0.5 * 1.2 * 30 * squares + jet, 1e-8);
    near(t.steering, load.ascentThrust * (0.865 - load.xcg), 1e-6);
    near(t.airMoment, 0, 1e-12);
  });

  it('tail first, the sign of the lever turns', () => {
    const t = turning(falling, plant);
    const legs = (4 * 0.42 + 1.2 * 0.8) / 5.2;
    near(t.stiffness, 0.5 * 1.2 * 400 * AREA * 5.2 * (falling.load.xcg - legs), 1e-4);
  });

  it('of a thrust that is steered nowhere is none of the air’s', () => {
    const leaning = turning({ ...straight, across: 5 }, plant);
    expect(leaning.airMoment).toBeGreaterThan(0);
    expect(turning({ ...straight, across: 5, load: { ...straight.load, ascentThrust: 0 } }, plant).airMoment).toBe(leaning.airMoment);
  });
});
