/**
 * Whether a study's touchdown can be simulated, or judged, as it says: legs and ground against the vehicle and the
 * contact step. What the legs are good for is analysis/nominal/legs.ts.
 */
import { inputIndex } from '../inputs/catalogue.ts';
import { quantile } from '../inputs/distributions.ts';
import { normalGravity, STANDARD_GRAVITY } from '../plant/gravity.ts';
import { display } from './fields.ts';
import type { Findings } from './findings.ts';
import { nominalInputs } from './nominal.ts';
import type { Study } from './study.ts';
import { type NominalLegs, nominalLegs } from './touchdownLimits.ts';

/** Most that a contact step may turn the twist about the axis, by springs and by dashpots; the scheme's own bounds are 2.83 and 2.79. */
const MOST_TURN = 2;
const SCHEME_BOUND = 2.78;
/** Share of the draws that may be beyond the scheme's bound without a word. */
const RARE = 1e-4;

export function checkTouchdown(study: Study, findings: Findings): void {
  if (study.touchdown.model === 'rules') {
    const { limits } = study;
    for (const key of ['sink', 'slide', 'tilt'] as const) {
      if (limits[key] === null)
        findings.problem(
          ['limits', key],
          'read none; expected a limit: touchdown is judged by rules, which have nothing else. Give one, or simulate it with touchdown.model: springs.',
        );
    }
    return;
  }
  const { legs, body } = study.vehicle;
  for (const [key, unit, example] of [
    ['stiffness', 'N/m', '600 N/m'],
    ['damping', 'N s/m', '17 N*s/m'],
  ] as const) {
    if (legs[key] === null)
      findings.problem(
        ['vehicle', 'legs', key],
        `missing; expected a ${key} in ${unit} of each leg: touchdown is simulated (touchdown.model: springs). Write, for example, ${example}; measure it with a kitchen scale and a ruler.`,
      );
  }
  if (legs.footStation <= body.length) {
    findings.problem(
      ['vehicle', 'legs', 'footStation'],
      `read ${display(legs.footStation, 'm')}; expected feet below the base, more than ${display(body.length, 'm')} aft of the nose tip: legs that spring need room. Measure them deployed.`,
    );
  }
  const nominal = nominalLegs(study);
  if (nominal === null || legs.footStation <= body.length) return;
  checkStep(study, nominal, findings);
  checkStanding(study, nominal, findings);
}

/** h N ct Rf^2/Ia and h sqrt(N kt Rf^2/Ia): how far a contact step goes in the stiffest motion. */
function turns({ vehicle: { legs } }: Study, stiffness: number, damping: number, inertia: number, step: number): readonly [number, number] {
  const arm = (legs.count * legs.radius * legs.radius) / (2 * inertia);
  return [step * Math.sqrt(arm * stiffness), step * arm * damping];
}

function checkStep(study: Study, nominal: NominalLegs, findings: Findings): void {
  const inputs = nominalInputs(study);
  const tick = 1 / study.computer.rate;
  const step = tick / Math.max(1, Math.ceil(tick / study.touchdown.step - 1e-9));
  const inertia = inputs[inputIndex('airframe.inertiaAxial')];
  const [spring, dashpot] = turns(study, nominal.stiffness, nominal.damping, inertia, step);
  const worst = Math.max(spring, dashpot);
  const works = display(0.99 * step * (MOST_TURN / worst), 's');
  const why = 'the twist about the axis would run away in a contact step';
  if (spring > MOST_TURN) {
    findings.problem(
      ['vehicle', 'legs', 'stiffness'],
      `read ${display(nominal.stiffness, 'N/m')} with what is under it; expected at most ${display(nominal.stiffness * (MOST_TURN / spring) ** 2, 'N/m')} at a step of ${display(step, 's')}: ${why}. Soften the legs, or write touchdown.step: ${works} or less.`,
    );
  }
  if (dashpot > MOST_TURN) {
    findings.problem(
      ['vehicle', 'legs', 'damping'],
      `read ${display(nominal.damping, 'N s/m')} with what is under it; expected at most ${display((nominal.damping * MOST_TURN) / dashpot, 'N s/m')} at a step of ${display(step, 's')}: ${why}. Damp them less, or write touchdown.step: ${works} or less.`,
    );
  }
  if (worst > MOST_TURN) return;
  // What varies may go beyond what the scheme bears, where the nominal does not.
  const most = (key: 'legs.stiffnessFactor' | 'legs.dampingFactor' | 'airframe.inertiaAxial', u: number): number => {
    const d = study.inputs[key];
    return d === undefined || d.kind === 'fixed' ? 1 : quantile(d)(u) / inputs[inputIndex(key)];
  };
  const slim = inertia * Math.max(1e-9, most('airframe.inertiaAxial', RARE));
  const stiff = nominal.stiffness * most('legs.stiffnessFactor', 1 - RARE);
  const damped = nominal.damping * most('legs.dampingFactor', 1 - RARE);
  const drawn = Math.max(...turns(study, stiff, damped, slim, step));
  if (drawn > SCHEME_BOUND) {
    findings.warning(
      ['touchdown', 'step'],
      `with the stiffest, most damped and slimmest of 10,000 draws the twist about the axis runs away in a contact step, and such a flight comes to no result. Write touchdown.step: ${display((0.99 * step * SCHEME_BOUND) / drawn, 's')} or less.`,
    );
  }
}

function checkStanding(study: Study, { mass, stiffness, strength }: NominalLegs, findings: Findings): void {
  const { legs, body } = study.vehicle;
  const { latitude, elevation } = study.site;
  const gravity = latitude === null ? STANDARD_GRAVITY : normalGravity(latitude, elevation);
  const load = (mass * gravity) / legs.count;
  if (strength <= load) {
    findings.problem(
      ['vehicle', 'legs', 'strength'],
      `read ${display(strength, 'N')}; expected more than ${display(load, 'N')}, the weight on one of ${legs.count} legs: it would break standing. Check its unit, or make stronger legs.`,
    );
  }
  const room = legs.footStation - body.length;
  if (load / stiffness >= room) {
    findings.problem(
      ['vehicle', 'legs', 'stiffness'],
      `read ${display(stiffness, 'N/m')} with what is under it; expected more than ${display(load / room, 'N/m')}: the weight presses the legs in by ${display(load / stiffness, 'm')}, and the base is ${display(room, 'm')} above the feet. Stiffen the legs or lower the feet.`,
    );
  }
}
