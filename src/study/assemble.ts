/**
 * The checked parts of a study file put together as a `Study`, inputs and correlations still to come. Checks nothing
 * but the shape's geometry.
 */
import { aerodynamicsFromGeometry } from '../plant/barrowman.ts';
import { type Geometry, geometryProblems } from '../plant/geometry.ts';
import type { Findings, Path } from './findings.ts';
import type { RuleEntry, StudyFile } from './schema.ts';
import type { Aerodynamics, Motor, RuleChoice, Study, ThrustCurve } from './study.ts';

/** m/s, m/s, rad: the limits of a touchdown judged by rules, when the file does not say. */
const USUAL_SINK = 3;
const USUAL_SLIDE = 1.5;
const USUAL_TILT = (15 * Math.PI) / 180;

/** @returns undefined when the geometry has problems (said in `findings`). */
export function assemble(
  file: StudyFile,
  curves: { readonly ascent: ThrustCurve; readonly landing: ThrustCurve },
  findings: Findings,
): Study | undefined {
  const { aerodynamics: shape, ...vehicle } = file.vehicle;
  const aerodynamics = shape.coefficients ?? fromGeometry(file, findings);
  if (aerodynamics === undefined) return undefined;
  const { release } = vehicle.legs;
  const motor = (given: StudyFile['ascent'], curve: ThrustCurve): Motor => ({ ...given, curve });
  const judged = file.touchdown.model === 'rules';
  const limit = (given: number | null | undefined, usual: number): number | null => (given === undefined ? (judged ? usual : null) : given);
  const { sink, slide, tilt, ...limits } = file.limits;
  const { ruleDefaults, rules, correlations: _correlations, variants: _variants, ...rest } = file;
  return {
    ...rest,
    vehicle: {
      ...vehicle,
      aerodynamics,
      legs: {
        ...vehicle.legs,
        release:
          release.atHeight === undefined
            ? { kind: 'afterApogee', time: release.afterApogee ?? Number.NaN }
            : { kind: 'atHeight', height: release.atHeight },
      },
    },
    limits: { sink: limit(sink, USUAL_SINK), slide: limit(slide, USUAL_SLIDE), tilt: limit(tilt, USUAL_TILT), ...limits },
    ascent: motor(file.ascent, curves.ascent),
    landing: motor(file.landing, curves.landing),
    rules: Object.entries(rules).map(([name, entry]) => rule(name, entry as RuleEntry, file)),
    inputs: {},
    stays: {},
    sample: null,
    correlations: [],
  };
}

function rule(name: string, entry: RuleEntry, { ruleDefaults, landing }: StudyFile): RuleChoice {
  const { kind, lead, tiltGuard, insideTick, ...others } = entry;
  return {
    name,
    kind,
    constants: Object.fromEntries(Object.entries(others).filter((pair): pair is [string, number] => typeof pair[1] === 'number')),
    lead: lead ?? ruleDefaults.lead ?? landing.ignitionDelay,
    tiltGuard: tiltGuard ?? ruleDefaults.tiltGuard,
    insideTick: insideTick ?? ruleDefaults.insideTick,
  };
}

function fromGeometry({ vehicle: { aerodynamics, body, legs } }: StudyFile, findings: Findings): Aerodynamics | undefined {
  const given = aerodynamics.geometry;
  if (given === undefined) throw new Error('neither coefficients nor geometry; the schema should have refused it');
  const geometry: Geometry = {
    ...given,
    body,
    legs: given.legs && { ...given.legs, count: legs.count, footStation: legs.footStation, radius: legs.radius },
  };
  const problems = geometryProblems(geometry);
  for (const { path, read, expected } of problems) {
    findings.problem(geometryPath(path), `read ${read}; expected ${expected}. Mend the shape.`);
  }
  return problems.length > 0 ? undefined : aerodynamicsFromGeometry(geometry);
}

/** Where the study says what the geometry was given: the body and the legs' feet stand outside of it. */
function geometryPath(path: string): Path {
  const [first = '', second = '', ...rest] = path.split('.');
  if (first === 'body' || (first === 'legs' && ['count', 'footStation', 'radius'].includes(second))) return ['vehicle', first, second];
  return ['vehicle', 'aerodynamics', 'geometry', first, ...(second === '' ? [] : [second]), ...rest];
}
