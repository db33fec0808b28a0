/**
 * What a study file may hold: every section and key with its meaning, unit, bounds and default. The one definition from
 * which reading, messages and the editor's JSON Schema come. How inputs vary is distributionField.ts; the checks across
 * sections are crossChecks.ts.
 */
import { z } from 'zod';
import { ruleKinds } from '../avionics/rules/kinds.ts';
import { CATALOGUE, type InputKey, type InputRow, inputIndex } from '../inputs/catalogue.ts';
import { suggestion } from '../maths/nearest.ts';
import { CYLINDER_CROSSFLOW_DRAG } from '../plant/geometry.ts';
import { printable } from '../printable.ts';
import { curveField } from './curve.ts';
import { choice, line, mapErrors, nominal, oneOf, onOff, optionalSection, orNone, quantity, section, show, whole } from './fields.ts';
import { variantsField } from './variants.ts';

/** A rule as the file gives it: constants under their names beside `kind`. */
export interface RuleEntry {
  readonly kind: string;
  readonly lead?: number;
  readonly tiltGuard?: number;
  readonly insideTick?: boolean;
  readonly [constant: string]: string | number | boolean | undefined;
}

const DEG = Math.PI / 180;
const row = (key: InputKey): InputRow => CATALOGUE[inputIndex(key)];
const MOST_FLIGHTS = 100_000_000;
/** A worker keeps room for all attempts of the campaigns it takes at a time. */
const MOST_ATTEMPTS = 200;

// a study is checked once a run: compiling its schema would take longer than it saves
z.config({ jitless: true });

const seed = z
  .unknown()
  .transform((raw, context): string => {
    if (typeof raw === 'string' && raw !== '' && printable(raw) === raw) return raw;
    if (typeof raw === 'number' && Number.isSafeInteger(raw)) return String(raw);
    context.addIssue({ code: 'custom', message: `read ${show(raw)}; expected a whole number or a line of text. Write, for example, 1.` });
    return z.NEVER;
  })
  .prefault(1)
  .meta({
    type: ['integer', 'string'],
    description: 'every random stream is keyed by it: the same seed gives the same flights',
    examples: [1],
  });

const body = section('the outer shape', {
  length: quantity('m', 'from the nose tip to the base', { above: 0, high: 10, example: '860 mm' }),
  diameter: quantity('m', 'the largest; air forces refer to its circle', { above: 0, high: 2, example: '94 mm' }),
});

const normalForce = (what: string) =>
  section(what, {
    slope: quantity('', 'normal-force slope per radian, on the body’s cross-section', { low: 0, high: 200, example: '6.0' }),
    station: quantity('m', 'where it acts, aft of the nose tip', { low: -5, high: 15, example: '630 mm' }),
  });

const coefficients = section('air-force coefficients, on the circle of the body’s diameter', {
  axialNose: quantity('', 'axial coefficient with the flow from the nose', { low: 0, high: 20, example: '0.55' }),
  axialTail: quantity('', 'axial coefficient with the flow from the tail', { low: 0, high: 20, example: '0.95' }),
  normalNose: normalForce('normal force with the flow from the nose'),
  normalTail: normalForce('normal force with the flow from the tail'),
  crossflowDrag: quantity('', 'drag coefficient of the body across the flow, on the planform area', { low: 0, high: 5, fallback: 1.2 }),
  planformArea: quantity('m^2', 'seen from the side', { above: 0, high: 20, example: '0.084 m^2' }),
  planformStation: quantity('m', 'middle of that area, aft of the nose tip', { low: 0, high: 10, example: '450 mm' }),
  rollAsymmetry: nominal(row('air.rollAsymmetry'), { fallback: 0 }),
  rollDamping: nominal(row('air.rollDamping'), { fallback: -0.6 }),
  legsAxial: quantity('', 'what the deployed legs add to the axial coefficient', { low: 0, high: 20, example: '0.7' }),
  legsNormal: normalForce('what the deployed legs add to the normal force'),
});

const transition = section('a conical change of the body’s diameter', {
  station: quantity('m', 'where it begins, aft of the nose tip', { above: 0, high: 10, example: '400 mm' }),
  length: quantity('m', 'along the axis', { above: 0, high: 10, example: '50 mm' }),
  aftDiameter: quantity('m', 'of the body behind it', { above: 0, high: 2, example: '80 mm' }),
});

const geometry = section(
  'the shape, from which the coefficients are computed (Barrowman from the nose, Jorgensen from the tail and across)',
  {
    nose: section('the nose', {
      shape: choice('its outline', ['cone', 'ogive', 'paraboloid', 'ellipsoid'], 'ogive'),
      length: quantity('m', 'along the axis', { above: 0, high: 10, example: '200 mm' }),
    }),
    transitions: z
      .array(transition, { error: (issue) => `read ${show(issue.input)}; expected a list. Begin each entry with - station: ...` })
      .prefault([])
      .meta({ description: 'changes of diameter from the nose aft; mostly none' }),
    fins: orNone(
      section('one set of equal flat fins', {
        count: whole('how many', 3, 8, 4),
        rootChord: quantity('m', 'chord at the body', { above: 0, high: 5, example: '100 mm' }),
        tipChord: quantity('m', 'chord at the tip; 0 is a pointed fin', { low: 0, high: 5, example: '60 mm' }),
        span: quantity('m', 'from the body’s surface to the tip', { above: 0, high: 5, example: '70 mm' }),
        sweep: quantity('m', 'how far the tip’s leading edge lies aft of the root’s', { low: -5, high: 5, example: '30 mm' }),
        station: quantity('m', 'the root’s leading edge, aft of the nose tip', { low: 0, high: 10, example: '750 mm' }),
      }),
      'one set of equal flat fins',
    ),
    legs: orNone(
      section('the deployed legs as straight struts; feet and number are vehicle.legs', {
        hingeStation: quantity('m', 'where they meet the body, aft of the nose tip', { low: 0, high: 10, example: '700 mm' }),
        width: quantity('m', 'across a strut', { above: 0, high: 1, example: '12 mm' }),
      }),
      'air forces of the deployed legs',
    ),
    crossflowDrag: quantity('', 'drag coefficient of an endless cylinder across the flow', {
      low: 0,
      high: 5,
      fallback: CYLINDER_CROSSFLOW_DRAG,
    }),
    axialNose: quantity('', 'axial coefficient with the flow from the nose, legs stowed; a shape alone does not give it', {
      low: 0,
      high: 20,
      example: '0.55',
    }),
    axialTail: quantity('', 'axial coefficient with the flow from the tail, legs stowed; a shape alone does not give it', {
      low: 0,
      high: 20,
      example: '0.95',
    }),
    rollAsymmetry: quantity('', 'rolling-moment coefficient that makes the vehicle spin', { low: -1, high: 1, fallback: 0 }),
  },
);

const vehicle = section('everything but the two motors', {
  body,
  airframe: section('mass and inertia without motors', {
    mass: nominal(row('airframe.mass'), { example: '930 g' }),
    station: nominal(row('airframe.station'), { example: '560 mm' }),
    inertiaAxial: nominal(row('airframe.inertiaAxial'), { example: '0.0017 kg*m^2' }),
    inertiaTransverse: nominal(row('airframe.inertiaTransverse'), { example: '0.043 kg*m^2' }),
  }),
  aerodynamics: oneOf('air forces: coefficients, or the shape they follow from', {
    coefficients,
    geometry,
  }),
  gimbal: section('the thrust-vector control', {
    limit: quantity('rad', 'largest deflection of either axis', { above: 0, high: 89 * DEG, example: '5 deg' }),
    lag: nominal(row('gimbal.lag'), { example: '25 ms' }),
    rateLimit: nominal(row('gimbal.rateLimit'), { example: '300 deg/s' }),
  }),
  legs: section('the landing legs', {
    count: whole('how many, evenly round the body', 3, 8, 4),
    azimuth: quantity('rad', 'of the first leg about the axis, from body y toward body z', {
      low: -Math.PI * 2,
      high: Math.PI * 2,
      fallback: '45 deg',
    }),
    radius: quantity('m', 'of the deployed feet from the axis', { above: 0, high: 10, example: '270 mm' }),
    footStation: quantity('m', 'the deployed feet, aft of the nose tip', { above: 0, high: 15, example: '900 mm' }),
    release: oneOf('when the release is commanded', {
      afterApogee: nominal(row('legs.releaseTime'), { example: '1 s' }),
      atHeight: nominal(row('legs.releaseHeight'), { example: '20 m' }),
    }),
    deploymentTime: nominal(row('legs.deploymentTime'), { example: '0.3 s' }),
    stiffness: orNone(
      quantity('N/m', 'of each foot along the ground’s normal', { above: 0, high: 1e7, example: '600 N/m' }),
      'of each foot along the ground’s normal; needed where touchdown is simulated',
      { type: ['number', 'string', 'null'] },
    ),
    damping: orNone(
      quantity('N s/m', 'of each foot along the ground’s normal', { above: 0, high: 1e5, example: '17 N*s/m' }),
      'of each foot along the ground’s normal; needed where touchdown is simulated',
      { type: ['number', 'string', 'null'] },
    ),
    strength: orNone(
      quantity('N', 'greatest force on a foot', { above: 0, high: 1e6, example: '60 N' }),
      'greatest force on a foot, friction included, where touchdown is simulated; any without it',
      { type: ['number', 'string', 'null'] },
    ),
  }),
});

/** A factor stays above 0 whatever the temperatures may be. */
const MOTOR_PER_KELVIN = { low: -0.005, high: 0.005, fallback: 0, example: '0.1 %' };

const motor = (name: 'ascent' | 'landing') =>
  section(name === 'ascent' ? 'the motor that flies it up' : 'the motor it lands on', {
    curve: curveField,
    casingMass: quantity('kg', 'what stays when the propellant is gone', { above: 0, high: 20, example: '30 g' }),
    propellantMass: nominal(row(`${name}.propellantMass`), { example: '27 g' }),
    station: quantity('m', 'middle of the motor, aft of the nose tip', { low: 0, high: 10, example: '812 mm' }),
    length: quantity('m', 'of casing and propellant, one solid cylinder', { above: 0, high: 5, example: '95 mm' }),
    radius: quantity('m', 'of that cylinder, where its diameter is not given', { above: 0, high: 1, example: '14.5 mm' }).optional(),
    diameter: quantity('m', 'of that cylinder, where its radius is not given', { above: 0, high: 2, example: '29 mm' }).optional(),
    nozzleStation: quantity('m', 'where the thrust acts, aft of the nose tip', { above: 0, high: 15, example: '865 mm' }),
    ignitionDelay: nominal(row(`${name}.ignitionDelay`), { fallback: '0 s', example: '110 ms' }),
    temperature: orNone(
      section('how impulse and burn time go with the motor’s temperature', {
        reference: quantity('K', 'the curve holds at this temperature', { low: 220, high: 330, example: '20 degC' }),
        impulsePerKelvin: quantity('', 'share of the total impulse gained with each kelvin', MOTOR_PER_KELVIN),
        burnTimePerKelvin: quantity(
          '',
          'share of the burn time gained with each kelvin; a warm grain burns faster, so mostly below 0',
          MOTOR_PER_KELVIN,
        ),
        stated: orNone(
          quantity('K', 'the motor’s temperature, where it is not the air’s', { low: 220, high: 330, example: '18 degC' }),
          'the motor’s temperature, such as that of the box it came from',
        ),
      }),
      'how the motor goes with its temperature',
    ),
  }).transform(({ radius, diameter, ...rest }, context) => {
    if ((radius === undefined) !== (diameter === undefined)) return { ...rest, radius: radius ?? 0.5 * (diameter ?? Number.NaN) };
    context.addIssue({
      code: 'custom',
      message: `read ${radius === undefined ? 'neither radius nor diameter' : 'radius and diameter'}; expected one of the two. ${radius === undefined ? 'Write, for example, diameter: 29 mm.' : 'Remove the other.'}`,
    });
    return z.NEVER;
  });

/**
 * A limit that may be left at what is usual, which hangs on how touchdown is told (undefined here). `none` goes without
 * it.
 * @param fallback what is usual where touchdown is judged by rules
 */
function orUsual(field: z.ZodType<number>, fallback: string): z.ZodType<number | null | undefined> {
  const { description } = field.meta() ?? {};
  return z
    .unknown()
    .transform((raw, context) => {
      if (raw === 'usual') return undefined;
      if (raw === null || raw === 'none' || raw === 'off' || raw === false) return null;
      const read = field.safeParse(raw);
      if (read.success) return read.data;
      context.addIssue({ code: 'custom', message: read.error.issues[0].message });
      return z.NEVER;
    })
    .prefault('usual')
    .meta({
      type: ['number', 'string', 'null'],
      description: `${description}; \`usual\` is ${fallback} where touchdown is judged by rules, and none where it is simulated`,
      examples: [fallback],
    }) as unknown as z.ZodType<number | null | undefined>;
}

/** A stiffness, or `rigid` without one. */
function orRigid(field: z.ZodType<number>): z.ZodType<number | null> {
  return z
    .preprocess((raw) => (raw === undefined || raw === null || raw === 'rigid' ? null : raw), z.nullable(field))
    .prefault('rigid')
    .meta({
      type: ['number', 'string', 'null'],
      description: 'of the ground under a foot, in series with the leg; `rigid` without it',
      examples: ['20000 N/m'],
    }) as unknown as z.ZodType<number | null>;
}

const computer = optionalSection('the flight computer’s loop', {
  rate: quantity('1/s', 'ticks per second', { low: 10, high: 2000, fallback: '100 Hz', example: '100 Hz' }),
  gravity: quantity('m/s^2', 'what the navigator takes gravity to be', { low: 9, high: 10.5, fallback: 9.80665 }),
  transitionGap: nominal(row('timing.transitionGap'), { fallback: '0 s', example: '25 ms' }),
  stallRate: nominal(row('timing.stallRate'), { fallback: 0 }),
  stallDuration: nominal(row('timing.stallDuration'), { fallback: '30 ms' }),
  afterStall: choice('how the first tick after a stall integrates', ['measuredTime', 'oneTick'], 'measuredTime'),
});

const inertialSensor = (noise: InputRow, unit: string, what: string, examples: readonly [string, string, string]) =>
  section(what, {
    noise: quantity(noise.unit, 'noise density of each axis', { low: noise.low, high: noise.high, example: examples[0] }),
    lsb: quantity(unit, 'smallest step of a reading; 0 is none', { low: 0, fallback: 0, example: examples[1] }),
    range: quantity(unit, 'readings are clipped at plus and minus this', { above: 0, example: examples[2] }),
  });

const sensors = section('what the flight computer measures with', {
  rounding: onOff('round each reading to its smallest step', 'on'),
  imu: section('where the inertial sensor sits', {
    station: nominal(row('imu.station'), { example: '360 mm' }),
    offsetY: nominal(row('imu.offsetY'), { fallback: '0 mm' }),
    offsetZ: nominal(row('imu.offsetZ'), { fallback: '0 mm' }),
  }),
  accelerometer: inertialSensor(row('accelerometer.noiseX'), 'm/s^2', 'three axes of specific force', [
    '0.0015 m/s^2/Hz^0.5',
    '0.0048 m/s^2',
    '16 gee',
  ]),
  gyro: inertialSensor(row('gyro.noiseX'), 'rad/s', 'three axes of body rate', ['0.005 deg/s/Hz^0.5', '0.03 deg/s', '1000 deg/s']),
  barometer: orNone(
    section('height from air pressure, blended into the navigator', {
      noise: nominal(row('barometer.noise'), { example: '0.05 m/Hz^0.5' }),
      lag: nominal(row('barometer.lag'), { fallback: '0 s', example: '50 ms' }),
      speedGain: quantity('1/s^2', 'speed correction per metre of height error per second', { low: 0, high: 100, example: '0.5 1/s^2' }),
      heightGain: quantity('1/s', 'height correction per metre of height error per second', { low: 0, high: 100, example: '1 1/s' }),
    }),
    'height from air pressure, blended into the navigator',
  ),
});

const phases = optionalSection('how the flight computer recognises what is going on', {
  liftoffThreshold: nominal(row('detection.liftoffThreshold'), { fallback: '13 m/s^2' }),
  liftoffConfirm: quantity('s', 'for so long in one run', { low: 0, high: 2, fallback: '50 ms' }),
  replay: onOff('integrate from the first sample of the liftoff run, not from its confirmation', 'off'),
  burnoutThreshold: nominal(row('detection.burnoutThreshold'), { fallback: '3 m/s^2' }),
  burnoutConfirm: quantity('s', 'for so long in one run', { low: 0, high: 2, fallback: '50 ms' }),
});

const control = section('attitude control by the gimbal', {
  kp: quantity('', 'rad of deflection per rad of attitude error', { low: 0, high: 100, example: '0.5' }),
  kd: quantity('s', 'rad of deflection per rad/s of rate', { low: 0, high: 100, example: '0.12 s' }),
  ki: quantity('1/s', 'rad of deflection per rad s of summed error', { low: 0, high: 100, fallback: 0, example: '0.25 1/s' }),
  integralLimit: quantity('rad s', 'bound on the summed error', { low: 0, high: 100, fallback: '0.1 rad*s', also: 's' }),
  torqueScheduling: orNone(
    section('gains times thrust * arm of these over those expected now', {
      thrust: quantity('N', 'the gains are right at this thrust', { above: 0, high: 10_000, example: '18 N' }),
      arm: quantity('m', 'and this distance from nozzle to centre of mass', { above: 0, high: 10, example: '190 mm' }),
      least: quantity('', 'least factor', { above: 0, high: 100, fallback: 0.4 }),
      most: quantity('', 'greatest factor', { above: 0, high: 100, fallback: 2.5 }),
    }),
    'gains follow the expected thrust',
  ),
  driftDamping: quantity('rad s/m', 'lean against each m/s of believed drift; 0 turns it off', {
    low: 0,
    high: 10,
    fallback: 0,
    example: '0.06 s/m',
    also: 's/m',
  }),
  driftTilt: quantity('rad', 'most lean the drift damping may ask for', { low: 0, high: 45 * DEG, fallback: '8 deg' }),
});

const ruleCommon = {
  lead: quantity('s', 'lead-time compensation: height is judged this much ahead', { low: 0, high: 5, example: '110 ms' }),
  tiltGuard: quantity('rad', 'ignition is withheld beyond this believed tilt', { above: 0, high: Math.PI, example: '35 deg' }),
};

const kinds = ruleKinds().map(({ kind, meaning, constants }) => {
  const shape = {
    ...Object.fromEntries(constants.map(({ key, unit, low, high, meaning }) => [key, quantity(unit, meaning, { low, high })])),
    lead: ruleCommon.lead.optional(),
    tiltGuard: ruleCommon.tiltGuard.optional(),
    insideTick: z.unknown().pipe(onOff('time the command inside the tick by extrapolation', 'off')).optional(),
  };
  return z
    .strictObject({ kind: z.literal(kind), ...shape }, { error: mapErrors(['kind', ...Object.keys(shape)]) })
    .meta({ description: meaning });
});

/** A file of flights numbers them in a byte. */
const MOST_RULES = 127;
const RULE_NAME = /^[A-Za-z][\w -]*$/;
const kindNames = ruleKinds().map((r) => r.kind);

const rules = z
  .record(
    z.string(),
    z.discriminatedUnion('kind', kinds as [(typeof kinds)[number], ...typeof kinds], {
      error: (issue) => {
        const input: unknown = issue.input;
        if (typeof input !== 'object' || input === null) return mapErrors(['kind', 'its constants'])(issue);
        const kind = 'kind' in input ? input.kind : undefined;
        const near = typeof kind === 'string' ? suggestion(kind, kindNames) : '';
        return `${kind === undefined ? 'missing' : `read ${show(kind)}`}; expected a kind of rule: ${kindNames.join(', ')}.${near}`;
      },
    }),
    { error: mapErrors(['a name for each rule']) },
  )
  .check((context) => {
    const names = Object.keys(context.value);
    const note = (path: string[], message: string) => context.issues.push({ code: 'custom', input: context.value, path, message });
    if (names.length > MOST_RULES) note([], `read ${names.length} rules; expected at most ${MOST_RULES}. Remove some.`);
    if (names.length === 0)
      note([], 'read an empty map; expected at least one rule. Write, for example, fixed-height: { kind: fixedHeight, height: 7 m }.');
    for (const name of names.filter((word) => !RULE_NAME.test(word))) {
      note([name], `read ${show(name)} as a name; expected letters, digits, dashes and spaces, a letter first. Rename the rule.`);
    }
  })
  .meta({ description: 'named ignition rules; the first is flown unless another is named', minProperties: 1 });

const ruleDefaults = optionalSection('what every rule takes that does not say otherwise', {
  lead: ruleCommon.lead.optional(),
  tiltGuard: quantity('rad', 'ignition is withheld beyond this believed tilt', { above: 0, high: Math.PI, fallback: '45 deg' }),
  insideTick: onOff('time the command inside the tick by extrapolation', 'off'),
});

const limits = optionalSection('what counts as landed', {
  sink: orUsual(quantity('m/s', 'touchdown speed into the ground', { above: 0, high: 100 }), '3 m/s'),
  slide: orUsual(quantity('m/s', 'touchdown speed along the ground', { above: 0, high: 100 }), '1.5 m/s'),
  tilt: orUsual(quantity('rad', 'of the axis to the ground’s normal at touchdown', { above: 0, high: 90 * DEG }), '15 deg'),
  lostControlTilt: quantity('rad', 'from the vertical, going up or in the landing burn', { above: 0, high: Math.PI, fallback: '45 deg' }),
  radius: orNone(quantity('m', 'distance from the pad', { above: 0, high: 100_000, example: '30 m' }), 'farthest landing from the pad'),
  time: quantity('s', 'a flight unfinished then has no result', { above: 0, high: 3600, fallback: '120 s' }),
});

const touchdown = optionalSection('how a touchdown is told from a crash', {
  model: choice('judged by rules at the contact, or simulated: legs as springs on ground with friction', ['rules', 'springs'], 'rules'),
  step: quantity('s', 'integration step while anything touches, where it is simulated', { low: 1e-5, high: 0.1, fallback: '0.5 ms' }),
});

const ground = optionalSection('what the feet stand on, where touchdown is simulated', {
  friction: nominal(row('ground.friction'), { fallback: 0.5 }),
  stiffness: orRigid(quantity('N/m', 'of the ground under a foot', { above: 0, high: 1e9, example: '20000 N/m' })),
});

const rail = section('the launch rail', {
  length: quantity('m', 'guided travel', { above: 0, high: 20, example: '1.2 m' }),
  tilt: nominal(row('rail.tilt'), { fallback: '0 deg' }),
  azimuth: nominal(row('rail.azimuth'), { fallback: '0 deg' }),
});

const site = optionalSection('air, wind and ground', {
  latitude: orNone(quantity('rad', 'for gravity', { low: -90 * DEG, high: 90 * DEG, example: '52 deg' }), 'for gravity: standard gravity', {
    type: ['number', 'string', 'null'],
  }),
  elevation: quantity('m', 'above the ellipsoid, for gravity only', { low: -500, high: 9000, fallback: '0 m' }),
  temperature: nominal(row('site.temperature'), { fallback: '288.15 K', example: '15 degC' }),
  pressure: nominal(row('site.pressure'), { fallback: '101325 Pa', example: '1013 hPa' }),
  windSpeed: nominal(row('wind.speed'), { fallback: '0 m/s' }),
  windDirection: nominal(row('wind.direction'), { fallback: '0 deg', example: '250 deg' }),
  windExponent: quantity('', 'wind grows with height to this power', { low: 0, high: 1, fallback: 1 / 7 }),
  gustScale: nominal(row('wind.gustScale'), { fallback: 1 }),
  groundSlope: nominal(row('ground.slope'), { fallback: '0 deg' }),
  groundAzimuth: nominal(row('ground.azimuth'), { fallback: '0 deg' }),
});

const campaign = optionalSection(
  'attempts in a row by one builder with one vehicle; what stays from flight to flight is said under inputs',
  {
    attempts: whole('attempts at most', 1, MOST_ATTEMPTS, 20),
    flightsADay: whole('flights on one day', 1, MOST_ATTEMPTS, 3),
    motorsInBatch: whole('motors of each of the two kinds in one purchase; an attempt takes one of each', 1, 10_000, 6),
    rebuild: optionalSection('after what an attempt the airframe is built anew', {
      sink: orNone(
        quantity('m/s', 'touchdown speed into the ground above which it is', { above: 0, high: 1000, example: '8 m/s' }),
        'touchdown speed into the ground above which the airframe is built anew',
        { type: ['number', 'string', 'null'] },
      ).prefault('8 m/s' as never),
      tippedOver: onOff('when it tipped over', 'on'),
    }),
    observation: optionalSection('what the builder sees of an ignition too high or too low', {
      error: quantity('m', 'standard deviation of a height read off by eye or from a video', { low: 0, high: 100, fallback: '0.3 m' }),
      aim: quantity('m', 'how high above the ground the descent is meant to be slowest; misses are read from there', {
        low: 0,
        high: 100,
        fallback: '0 m',
      }),
    }),
    costs: orNone(
      section('what it costs, in a currency of yours', {
        currency: line('name of the currency', 'EUR'),
        attempt: quantity('', 'of one attempt, its pair of motors included', { low: 0, example: '30' }),
        rebuild: quantity('', 'of building the airframe anew', { low: 0, example: '50' }),
      }),
      'what an attempt and a rebuild cost',
    ),
  },
);

const correlation = section('two inputs that go together', {
  between: z
    .unknown()
    .transform((raw, context): readonly [string, string] => {
      if (Array.isArray(raw) && raw.length === 2 && typeof raw[0] === 'string' && typeof raw[1] === 'string') return [raw[0], raw[1]];
      context.addIssue({
        code: 'custom',
        message: `read ${show(raw)}; expected two inputs. Write, for example, [landing.impulseFactor, landing.burnTimeFactor].`,
      });
      return z.NEVER;
    })
    .meta({ type: 'array', items: { type: 'string' }, minItems: 2, maxItems: 2, description: 'the two inputs by key' }),
  rank: quantity('', 'Spearman rank correlation, between -1 and 1', { example: '-0.4' }),
});

/** The whole file. Bounds and meanings of nominal values come from the catalogue. */
export const STUDY_FILE = section('a study of simulated flights; quantities carry units, bare numbers are SI', {
  title: line('what is flown, for the reader', 'Thistledown in light wind'),
  seed: seed as z.ZodType<string>,
  flights: whole('flights flown when the command line does not say', 1, MOST_FLIGHTS, 1000),
  design: choice('how inputs are sampled', ['independent', 'latinHypercube', 'sobol'], 'independent'),
  vehicle,
  ascent: motor('ascent'),
  landing: motor('landing'),
  ejectDelay: quantity('s', 'after landing thrust starts, until the spent ascent casing leaves', { low: 0, high: 60, fallback: '0 s' }),
  rail,
  computer,
  substeps: whole('equal integration steps per tick', 1, 64, 1),
  sensors,
  phases,
  control,
  ruleDefaults,
  rules,
  limits,
  touchdown,
  ground,
  site,
  inputs: z
    .record(z.string(), z.unknown(), { error: mapErrors(['an entry for each input that varies']) })
    .prefault({})
    .meta({ description: 'how inputs vary from flight to flight; a plain value holds one fixed' }),
  campaign,
  correlations: z
    .array(correlation, { error: (issue) => `read ${show(issue.input)}; expected a list. Begin each entry with - between: [...].` })
    .prefault([])
    .meta({ description: 'rank correlations between inputs that vary' }),
  variants: variantsField,
});

/** What the file says, in SI, defaults filled in; curves, inputs and rules still as given. */
export type StudyFile = z.output<typeof STUDY_FILE>;
