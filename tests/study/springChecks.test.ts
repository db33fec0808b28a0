/** Legs and ground of a simulated touchdown against the vehicle and the contact step: each mistake the line it gives. */
import { describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { nominalInputs } from '../../src/study/nominal.ts';
import { heldLimits, nominalLegs } from '../../src/study/touchdownLimits.ts';
import { near } from '../helpers/near.ts';
import { demoStudy, springsStudy } from '../helpers/studyForTests.ts';
import { plainText, problemsOf, read } from './plainStudy.ts';

/** The plain study with legs that spring, and keys of the legs replaced. */
function springs(legs: Readonly<Record<string, string>> = {}, more = ''): string {
  const all = { radius: '270 mm', footStation: '900 mm', stiffness: '600 N/m', damping: '17 N*s/m', strength: '60 N', ...legs };
  const written = Object.entries(all)
    .filter(([, value]) => value !== '')
    .map(([key, value]) => `${key}: ${value}`)
    .join(', ');
  return `${plainText({
    17: `  legs: { ${written}, release: { afterApogee: 1 s }, deploymentTime: 0.3 s }`,
    35: 'limits: {}',
  })}touchdown: { model: springs }\n${more}`;
}

/** Problems without their place. */
const said = async (text: string): Promise<string[]> => (await problemsOf(text)).map((line) => line.replace(/^\S+ /, ''));

describe('a study whose touchdown is simulated', () => {
  it('reads its legs and ground, without limits', async () => {
    const { study, warnings, text } = await read(springs({}, 'ground: { friction: 0.4, stiffness: 20000 N/m }\n'));
    expect(study.touchdown).toEqual({ model: 'springs', step: 0.0005 });
    expect(study.ground).toEqual({ friction: 0.4, stiffness: 20000 });
    expect(study.vehicle.legs).toMatchObject({ stiffness: 600, damping: 17, strength: 60 });
    expect(study.limits).toMatchObject({ sink: null, slide: null, tilt: null });
    expect(warnings).toEqual([]);
    // Written out and read again it is the same study.
    expect((await read(text)).study).toEqual(study);
  });

  it('keeps the limits it is given; judged by rules it has the usual ones', async () => {
    const given = springs().replace('limits: {}', 'limits: { sink: 2 m/s, slide: usual }');
    expect((await read(given)).study.limits).toMatchObject({ sink: 2, slide: null, tilt: null });
    expect((await read(plainText({ 35: 'limits: {}' }))).study.limits).toMatchObject({ sink: 3, slide: 1.5 });
  });

  it.each([
    [
      'no stiffness',
      springs({ stiffness: '' }),
      'vehicle.legs.stiffness: missing; expected a stiffness in N/m of each leg: touchdown is simulated (touchdown.model: springs). Write, for example, 600 N/m; measure it with a kitchen scale and a ruler.',
    ],
    [
      'no damping',
      springs({ damping: 'none' }),
      'vehicle.legs.damping: missing; expected a damping in N s/m of each leg: touchdown is simulated (touchdown.model: springs). Write, for example, 17 N*s/m; measure it with a kitchen scale and a ruler.',
    ],
    [
      'feet at the base',
      springs({ footStation: '860 mm' }),
      'vehicle.legs.footStation: read 0.86 m; expected feet below the base, more than 0.86 m aft of the nose tip: legs that spring need room. Measure them deployed.',
    ],
    [
      'a negative stiffness',
      springs({ stiffness: '-600 N/m' }),
      'vehicle.legs.stiffness: read "-600 N/m"; expected a stiffness above 0 N/m, at most 10000000 N/m. Give a value in that range.',
    ],
    [
      'a damping of zero',
      springs({ damping: '0' }),
      'vehicle.legs.damping: read 0; expected a damping above 0 N s/m, at most 100000 N s/m. Give a value in that range.',
    ],
    [
      'a stiffness that is a force',
      springs({ stiffness: '600 N' }),
      'vehicle.legs.stiffness: read "600 N" (that is a force); expected a stiffness in N/m above 0 N/m, at most 10000000 N/m. Write, for example, 600 N/m.',
    ],
    [
      'friction over five',
      springs({}, 'ground: { friction: 6 }\n'),
      'ground.friction: read 6; expected a plain number from 0.01 to 5. Give a value in that range.',
    ],
    [
      'friction of zero',
      springs({}, 'ground: { friction: 0 }\n'),
      'ground.friction: read 0; expected a plain number from 0.01 to 5. Give a value in that range.',
    ],
    ['two legs', springs({ count: '2' }), 'vehicle.legs.count: read 2; expected a whole number from 3 to 8. Write, for example, 4.'],
    [
      'legs weaker than the weight on them',
      springs({ strength: '2 N' }),
      'vehicle.legs.strength: read 2 N; expected more than 2.41979 N, the weight on one of 4 legs: it would break standing. Check its unit, or make stronger legs.',
    ],
    [
      'legs that the weight presses flat',
      springs({ stiffness: '50 N/m' }),
      'vehicle.legs.stiffness: read 50 N/m with what is under it; expected more than 60.4948 N/m: the weight presses the legs in by 0.0483958 m, and the base is 0.04 m above the feet. Stiffen the legs or lower the feet.',
    ],
    [
      'an unknown model',
      springs().replace('model: springs', 'model: spring'),
      'touchdown.model: read "spring"; expected one of rules, springs. Did you mean "springs"?',
    ],
  ])('%s', async (_, text, line) => {
    expect(await said(text)).toEqual([line]);
  });

  it('refuses a step that the stiffest motion runs away in, and says what works', async () => {
    const stiff = await said(springs({ stiffness: '2e6 N/m' }));
    expect(stiff).toHaveLength(1);
    const [, most, step] = /expected at most (\S+) N\/m at a step of 0\.0005 s.*touchdown\.step: (\S+ s) or less/.exec(stiff[0]) ?? [];
    // h sqrt(N kt Rf^2/Ia) = 2 there.
    near(0.0005 * Math.sqrt((4 * 0.5 * Number(most) * 0.27 ** 2) / 0.0017), 2, 1e-5);
    expect((await read(springs({ stiffness: `${Number(most) * 0.999} N/m` }))).study.touchdown.step).toBe(0.0005);
    const works = springs({ stiffness: '2e6 N/m' }).replace('model: springs', `model: springs, step: ${step}`);
    expect((await read(works)).study.vehicle.legs.stiffness).toBe(2e6);
    const damped = await said(springs({ damping: '60 N*s/m' }));
    expect(damped[0]).toMatch(/^vehicle\.legs\.damping: read 60 N s\/m.*expected at most 46\.\d+ N s\/m/);
  });

  it('warns of draws that such a step cannot follow', async () => {
    const text = springs({ damping: '44 N*s/m' }).replace('inputs:', 'inputs:\n  legs.dampingFactor: { normal: { sd: 30 % } }');
    expect((await read(text)).warnings).toContainEqual(expect.stringMatching(/10,000 draws.*Write touchdown\.step: /));
  });

  it('says of inputs that do nothing that they do nothing', async () => {
    const varying = (text: string, key: string): Promise<{ warnings: readonly string[] }> =>
      read(text.replace('inputs:', `inputs:\n  ${key}: { normal: { sd: 10 % } }`));
    const none = (await varying(springs({ strength: 'none' }), 'legs.strengthFactor')).warnings;
    expect(none).toEqual([expect.stringContaining('the legs have no limit of strength')]);
    expect((await varying(springs(), 'ground.stiffnessFactor')).warnings).toEqual([expect.stringContaining('the ground is rigid')]);
    expect((await varying(plainText(), 'ground.friction')).warnings).toEqual([expect.stringContaining('touchdown is judged by rules')]);
    expect((await varying(springs(), 'ground.friction')).warnings).toEqual([]);
  });
});

describe('a study judged by rules', () => {
  it('cannot go without a limit', async () => {
    expect(await said(plainText({ 35: 'limits: { sink: none }' }))).toEqual([
      'limits.sink: read none; expected a limit: touchdown is judged by rules, which have nothing else. Give one, or simulate it with touchdown.model: springs.',
    ]);
  });
});

describe('what answers hold a touchdown against', () => {
  it('is the study’s limits, or what the nominal legs stand', () => {
    expect(heldLimits(demoStudy())).toEqual({ sink: 3, slide: 1.5, tilt: (15 * Math.PI) / 180 });
    expect(nominalLegs(demoStudy())).toBeNull();
    const found = heldLimits(springsStudy());
    expect(found).toMatchObject({ slide: Number.POSITIVE_INFINITY, tilt: Number.POSITIVE_INFINITY });
    // Above half of critical damping the dashpot's force at the touch is the greatest: 60 N over 17 N s/m.
    near(found.sink, 60 / 17, 1e-12);
    const limits = { ...springsStudy().limits, sink: 2 };
    expect(heldLimits(springsStudy({ limits })).sink).toBe(2);
  });

  it('with the ground under the feet, and inputs held fixed', () => {
    const soft = springsStudy({
      ground: { friction: 0.5, stiffness: 1200 },
      inputs: { 'legs.stiffnessFactor': { kind: 'fixed', value: 2 } },
    });
    expect(nominalInputs(soft)).toHaveLength(CATALOGUE.length);
    // 1,200 N/m on 1,200 N/m: half of the leg's stiffness, a quarter of its damping.
    expect(nominalLegs(soft)).toMatchObject({ stiffness: 600, damping: 17 / 4, strength: 60 });
  });
});
