/** Asking the rule: lead time, guard, and the command timed inside a tick. Model section 11. */
import { describe, expect, it } from 'vitest';
import { Ignition } from '../../src/avionics/ignition.ts';
import { ChosenRule, preparedMargin, setRule } from '../../src/avionics/rules/kinds.ts';
import type { RuleMargin } from '../../src/avionics/rules/rule.ts';
import { computerForTests, firingBelow, NO_MODEL } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';

const rule = (kind: string, constants: Record<string, number>): RuleMargin => preparedMargin(kind, constants, NO_MODEL, 0.1);

describe('the rules', () => {
  it('fixed height: fires at h* <= H', () => {
    const margin = rule('fixedHeight', { height: 7 });
    expect([margin(7.5, 20, 50), margin(7, 20, 50), margin(6, 20, 50)]).toEqual([0.5, 0, -1]);
  });
  it('apogee line: H = c0 + c1 times the believed apogee', () => {
    near(rule('apogeeLine', { c0: -3.4, c1: 0.24 })(10, 20, 50), 10 - 8.6, 1e-14);
  });
  it('speed curve: h* <= c0 + c1 s + c2 s^2', () => {
    near(rule('speedCurve', { c0: 11, c1: -1.6, c2: 0.06 })(10, 20, 50), 10 - (11 - 32 + 24), 1e-14);
  });
});

describe('asking', () => {
  const p = computerForTests({ rule: firingBelow(7), lead: 0.1, guardCosTilt: Math.cos(0.5) });

  it('judges the height a lead time ahead at the present speed', () => {
    const ignition = new Ignition();
    expect(ignition.ask(p, 9.01, 20, 0, 40, 1)).toBe(-1);
    expect(ignition.ask(p, 9, 20, 0, 40, 1)).toBe(0);
  });

  it('hands the rule the speed downward and the apogee', () => {
    // Judged 2 m lower than believed; each rule fires just where it is given 20 m/s and 40 m.
    const answers = (kind: string, constants: Readonly<Record<string, number>>): number => {
      const rule = new ChosenRule();
      setRule(rule, kind, constants, NO_MODEL, 0.1);
      return new Ignition().ask({ ...p, rule }, 9, 20, 5, 40, 1);
    };
    expect([answers('apogeeLine', { c0: 0, c1: 7 / 40 }), answers('apogeeLine', { c0: 0, c1: 6.99 / 40 })]).toEqual([0, -1]);
    expect([answers('speedCurve', { c0: 0, c1: 7 / 20, c2: 0 }), answers('speedCurve', { c0: 0, c1: 6.99 / 20, c2: 0 })]).toEqual([0, -1]);
  });

  it('is withheld beyond the guard, asked again, and remembered', () => {
    const ignition = new Ignition();
    expect(ignition.ask(p, 5, 20, 0, 40, Math.cos(0.51))).toBe(-1);
    expect([ignition.guardHolding, ignition.guardHeld]).toEqual([true, true]);
    // The guard does not hold what the rule does not ask for.
    expect(ignition.ask(p, 50, 20, 0, 40, Math.cos(0.51))).toBe(-1);
    expect([ignition.guardHolding, ignition.guardHeld]).toEqual([false, true]);
    expect(ignition.ask(p, 5, 20, 0, 40, Math.cos(0.49))).toBe(0);
    ignition.reset();
    expect([ignition.guardHolding, ignition.guardHeld]).toEqual([false, false]);
  });

  it('timed inside the tick, it falls where the margin extrapolates to zero', () => {
    const inside = { ...p, insideTick: true, tick: 0.1 };
    // At 20 m/s steady, 0.5 m above: 0.025 s.
    near(new Ignition().ask(inside, 9.5, 20, 0, 40, 1), 0.025, 1e-13);
    // Speeding up by 10 m/s^2: at the tick's end 21 m/s, 2.05 m lower, judged with 2.1 m of lead: margin 0.5 - 2.05 -
    // 0.1; secant.
    near(new Ignition().ask(inside, 9.5, 20, 10, 40, 1), (0.1 * 0.5) / 2.15, 1e-13);
    expect(new Ignition().ask(inside, 11.01, 20, 0, 40, 1)).toBe(-1);
    expect(new Ignition().ask(inside, 8, 20, 0, 40, 1)).toBe(0);
    const guarded = new Ignition();
    expect(guarded.ask(inside, 9.5, 20, 0, 40, 0)).toBe(-1);
    expect(guarded.guardHeld).toBe(true);
  });
});
