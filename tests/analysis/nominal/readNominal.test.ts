/** Each finding has a vehicle that makes it true; the demo, or the same vehicle mended, makes it false. */
import { describe, expect, it } from 'vitest';
import type { NominalFinding } from '../../../src/analysis/nominal/finding.ts';
import { type NominalReading, readNominal } from '../../../src/analysis/nominal/readNominal.ts';
import { nominalText } from '../../../src/cli/nominalText.ts';
import type { Motor, RuleChoice, Study, Vehicle } from '../../../src/study/study.ts';
import { heldLimits } from '../../../src/study/touchdownLimits.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy, springsStudy } from '../../helpers/studyForTests.ts';

type FindingKey = NominalFinding['key'];

const DEG = Math.PI / 180;
const demo = demoStudy();
/** Without wind, so that nothing turns it but what a test adds. */
const calm = { site: { ...demo.site, windSpeed: 0 } };
const windy = (windSpeed: number): Partial<Study> => ({ site: { ...demo.site, windSpeed } });
const vehicle = (changes: Partial<Vehicle>): Partial<Study> => ({ vehicle: { ...demo.vehicle, ...changes } });
const air = (changes: Partial<Vehicle['aerodynamics']>): Partial<Study> =>
  vehicle({ aerodynamics: { ...demo.vehicle.aerodynamics, ...changes } });
const legs = (changes: Partial<Vehicle['legs']>): Partial<Study> => vehicle({ legs: { ...demo.vehicle.legs, ...changes } });
const springing = springsStudy();
const springs = (changes: Partial<Vehicle['legs']> = {}, more: Partial<Study> = {}): Partial<Study> => ({
  ...vehicle({ legs: { ...springing.vehicle.legs, ...changes } }),
  touchdown: springing.touchdown,
  limits: springing.limits,
  ...more,
});
const sloping = (groundSlope: number): Partial<Study> => ({ site: { ...demo.site, groundSlope } });
const heavy = (mass: number): Partial<Study> => vehicle({ airframe: { ...demo.vehicle.airframe, mass } });
const control = (changes: Partial<Study['control']>): Partial<Study> => ({ control: { ...demo.control, ...changes } });
const landingCurve = (thrust: readonly number[], time = demo.landing.curve.time): Partial<Study> => {
  const landing: Motor = { ...demo.landing, curve: { time, thrust } };
  return { landing };
};
const rule = (changes: Partial<RuleChoice>): Partial<Study> => ({ rules: [{ ...demo.rules[0], ...changes }] });
const fixed = (key: string, value: number): Partial<Study> => ({ inputs: { ...demo.inputs, [key]: { kind: 'fixed', value } } });

const read = (changes: Partial<Study> = {}): NominalReading => readNominal(demoStudy(changes));
const keys = (r: NominalReading, severity?: string): FindingKey[] =>
  r.findings.filter((f) => severity === undefined || f.severity === severity).map(({ key }) => key);

function finding<K extends FindingKey>(r: NominalReading, key: K): Extract<NominalFinding, { key: K }> {
  const found = r.findings.find((f): f is Extract<NominalFinding, { key: K }> => f.key === key);
  if (found === undefined) throw new Error(`no ${key} among ${keys(r).join(', ')}`);
  return found;
}

describe('the demo', () => {
  const r = read();
  it('lands, and nothing is a fault', () => {
    expect(r.outcome).toBe('landed');
    expect(keys(r, 'fault')).toEqual([]);
    expect(r.landingJudged).toBe(true);
  });

  it('reads the same when read quickly, but for the softest touchdown', () => {
    const quick = readNominal(demo, undefined, true);
    expect(quick.findings).toEqual(r.findings);
    expect(quick.flown).toBe(1);
    expect([quick.softestSink, r.softestSink === null]).toEqual([null, false]);
  });

  it('knows its rules by name', () => {
    expect(readNominal(demo, 'apogee line').rule).toBe('apogee line');
    expect(() => readNominal(demo, 'none')).toThrow('--rule: read "none"');
  });
});

/** Finding, what is done to the demo, and what mends it again (by default: nothing done). */
const SPOILED: readonly [FindingKey, string, Partial<Study>, Partial<Study>?][] = [
  ['noLiftoff', 'too heavy for its motor', heavy(4)],
  ['weakLiftoff', 'hardly lighter than its thrust', heavy(1.4)],
  ['slowRail', 'a storm', windy(12), windy(0)],
  ['liftoffUnseen', 'a threshold above all it feels', { phases: { ...demo.phases, liftoffThreshold: 60 } }],
  ['burnoutUnseen', 'a threshold below all it feels', { phases: { ...demo.phases, burnoutThreshold: -30 } }],
  ['descentUnseen', 'a navigator that thinks gravity is weak', { computer: { ...demo.computer, gravity: 1 } }],
  ['lostControl', 'an ascent motor that points aside', fixed('ascent.misalignmentY', 0.16)],
  [
    'unstableUp',
    'area far forward',
    air({ normalNose: { slope: 6, station: 0.3 } }),
    { ...air({ normalNose: { slope: 6, station: 0.75 } }), ...calm },
  ],
  ['littleAuthority', 'a gimbal that hardly turns', vehicle({ gimbal: { ...demo.vehicle.gimbal, limit: 0.3 * DEG } })],
  ['wrongInFlight', 'area far forward', air({ normalNose: { slope: 8, station: 0.2 } })],
  ['unstableDown', 'area at the tail', air({ normalTail: { slope: 4, station: 0.8 } })],
  ['legsLate', 'a release after the touchdown', legs({ release: { kind: 'afterApogee', time: 10 } })],
  ['guardHeld', 'a guard that no fall passes', rule({ tiltGuard: 1e-4 })],
  ['neverLit', 'a height below the ground', rule({ constants: { height: -100 } })],
  ['fixedToFail', 'a dead igniter', fixed('landing.igniterFails', 1)],
  ['cannotStop', 'half the thrust', landingCurve(demo.landing.curve.thrust.map((f) => f / 2))],
  ['climbs', 'a sustain above the weight', landingCurve([0, 30, 44, 37.7, 16, 16, 15, 0])],
  ['ruleOff', 'a height far too great', rule({ constants: { height: 20 } })],
  ['slides', 'wind and no drift damping', { ...windy(6), ...control({ driftDamping: 0 }) }],
  ['leans', 'a limit that its lean takes half of', { limits: { ...demo.limits, tilt: 1 * DEG } }],
  ['fallsOver', 'feet two centimetres out', legs({ radius: 0.02 })],
  ['narrowStance', 'feet close together', legs({ radius: 0.07 })],
  ['tripsOver', 'a narrow stance on rubber', springs({ radius: 0.06 }, { ground: { friction: 5, stiffness: null } }), springs()],
  [
    'legBreaks',
    'stiff legs hardly damped, one at a time on a slope',
    springs({ strength: 45, stiffness: 3000, damping: 5 }, sloping(0.05)),
    springs(),
  ],
  ['neverRests', 'ice on a slope', springs({ radius: 0.5 }, { ...sloping(0.2), ground: { friction: 0.05, stiffness: null } }), springs()],
  [
    'legGaveWay',
    'no leg locks',
    { inputs: { ...demo.inputs, ...Object.fromEntries([1, 2, 3, 4].map((i) => [`legs.failure${i}`, { kind: 'fixed', value: 1 }])) } },
  ],
  ['outsideField', 'a field of a metre', { limits: { ...demo.limits, radius: 1 } }],
  ['noResult', 'a time limit within the flight', { limits: { ...demo.limits, time: 5 } }],
];

describe('each finding', () => {
  const whole = keys(read());
  it.each(SPOILED)('%s: %s', (key, _, spoiled, mended) => {
    const r = read(spoiled);
    expect(keys(r)).toContain(key);
    // Said in words, too: with every number there.
    expect(nominalText(r)).not.toMatch(/NaN|undefined|Infinity|null/);
    expect(mended === undefined ? whole : keys(read(mended))).not.toContain(key);
  });
});

describe('the attitude loop', () => {
  const faults = (r: NominalReading): string[] =>
    r.findings.flatMap((f) => (f.key === 'loop' && f.phase === 'ascent' ? [`${f.fault} ${f.severity}`] : []));

  it('is told too strong, too weak, thin and slow', () => {
    expect(faults(read())).toEqual([]);
    expect(faults(read(control({ kp: 12, kd: 4 })))).toEqual(['tooStrong fault']);
    // The air turns it away, and the gains are less than what holds it.
    const away = air({ normalNose: { slope: 8, station: 0.4 } });
    expect(faults(read({ ...away, ...control({ kp: 0.05, kd: 0.03, ki: 0 }) }))[0]).toMatch(/^tooWeak/);
    expect(faults(read({ ...calm, ...control({ kp: 2, kd: 0.05, ki: 0 }) }))[0]).toMatch(/^thin/);
    const still = { ...calm, ...air({ normalNose: { slope: 0, station: 0.6 }, crossflowDrag: 0 }) };
    expect(faults(read({ ...still, ...control({ kp: 0.001, kd: 0.005, ki: 0, torqueScheduling: null }) }))).toEqual(['slow doubt']);
  });

  it('says by how much: gains times the upper margin are unstable, times a little less are not', () => {
    const strong = control({ kp: 4, kd: 1.3, ki: 0, torqueScheduling: null });
    const found = read(strong).findings.find((f) => f.key === 'loop' && f.phase === 'ascent');
    if (found?.key !== 'loop' || found.margins.upper === null) throw new Error('expected a loop with an upper margin');
    const times = (factor: number): string[] => faults(read(control({ kp: 4 * factor, kd: 1.3 * factor, ki: 0, torqueScheduling: null })));
    // Unstable at an instant is unstable over the burn only when it is so for long enough: a quarter more is.
    expect(times(1.25 * found.margins.upper)[0]).toMatch(/^tooStrong/);
    expect(times(0.9 * found.margins.upper)[0]).toMatch(/^thin/);
  });
});

describe('numbers that a builder acts on', () => {
  it('the height that is softest makes the rule good again', () => {
    const { constant, lit, softest } = finding(read(rule({ constants: { height: 20 } })), 'ruleOff');
    expect(lit).toBeGreaterThan(softest);
    expect(constant?.key).toBe('height');
    const mended = read(rule({ constants: { height: constant?.better ?? Number.NaN } }));
    expect(mended.outcome).toBe('landed');
    // The rule is asked once a tick: 0.25 m of fall, which this slow end of the burn mostly takes up.
    near(mended.sink ?? Number.NaN, mended.softestSink ?? Number.NaN, 0.5);
  });

  it('so do the constants of another kind of rule', () => {
    const line: Partial<Study> = { rules: [{ ...demo.rules[1], constants: { c0: -12, c1: 0.24 } }] };
    const { constant } = finding(read(line), 'ruleOff');
    expect(constant?.key).toBe('c0');
    expect(read({ rules: [{ ...demo.rules[1], constants: { c0: constant?.better ?? Number.NaN, c1: 0.24 } }] }).outcome).toBe('landed');
  });

  it('feet as far out as it says just stand', () => {
    const { needed, radius } = finding(read(legs({ radius: 0.02 })), 'fallsOver');
    if (needed === null) throw new Error('expected a radius');
    expect(needed).toBeGreaterThan(radius);
    // The touchdown itself hardly depends on where the feet are.
    expect(read(legs({ radius: 1.05 * needed })).outcome).toBe('landed');
    expect(read(legs({ radius: 0.95 * needed })).outcome).toBe('tipped over');
  });

  it('the impulse it needs lands, the one it has does not', () => {
    const short = (factor: number): Partial<Study> =>
      landingCurve(
        [0, 30, 44, 37.7, 0].map((f) => factor * f),
        [0, 0.05, 0.15, 0.45, 0.6],
      );
    const { needed, impulse } = finding(read(short(1)), 'cannotStop');
    expect(needed).toBeGreaterThan(1.05 * impulse);
    // An estimate, from the sink that is left: good to a third of the impulse that is missing.
    const missing = needed / impulse - 1;
    expect(read(short(1 + 1.33 * missing)).softestSink).toBeLessThanOrEqual(heldLimits(demo).sink);
    expect(read(short(1 + 0.67 * missing)).softestSink).toBeGreaterThan(heldLimits(demo).sink);
  });

  it('legs released as much sooner as it says are out in time', () => {
    const late = read(legs({ release: { kind: 'afterApogee', time: 3.2 } }));
    const { earlier, spare } = finding(late, 'legsLate');
    expect(spare).toBeLessThan(0.5);
    expect(keys(read(legs({ release: { kind: 'afterApogee', time: 3.2 - earlier - 0.1 } })))).not.toContain('legsLate');
  });

  it('a slide is laid to the drift where it drifted, and to the lean where the burn pushed it', () => {
    expect(finding(read({ ...windy(6), ...control({ driftDamping: 0 }) }), 'slides').why).toBe('drift');
    const leaning = { ...calm, ...fixed('landing.misalignmentY', 0.06) };
    expect(finding(read(leaning), 'slides').why).toBe('lean');
  });
});

describe('how it stands', () => {
  it('is judged as flown where that is soft, lit where that is softest where it is not, and not at all where nothing is', () => {
    expect(read().touchdownOf).toBe('flown');
    const high = read({ ...rule({ constants: { height: 20 } }), ...windy(6), ...control({ driftDamping: 0 }) });
    expect([high.outcome, high.touchdownOf]).toEqual(['lit too high', 'softest']);
    expect(keys(high)).toContain('slides');
    expect(nominalText(high)).toMatch(/lit where that is softest\.$/m);
    expect(read(landingCurve(demo.landing.curve.thrust.map((f) => f / 2))).touchdownOf).toBeNull();
  });
});

describe('causes, not what follows from them', () => {
  it('a flight that went over is not told how it braked and stood', () => {
    const r = read(air({ normalNose: { slope: 8, station: 0.2 } }));
    expect(keys(r, 'fault')).toContain('wrongInFlight');
    for (const key of ['ruleOff', 'cannotStop', 'climbs', 'slides', 'leans'] as const) expect(keys(r)).not.toContain(key);
    expect(r.landingJudged).toBe(false);
  });

  it('a computer that never sees liftoff is not told that its legs are late', () => {
    expect(keys(read({ phases: { ...demo.phases, liftoffThreshold: 60 } }))).not.toContain('legsLate');
  });

  it('a vehicle that does not lift off has no other fault', () => {
    expect(keys(read(heavy(4)))).toEqual(['noLiftoff']);
  });
});
