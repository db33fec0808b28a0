/** A study written out as a study file that states everything: defaults, settings, curves and bench data in place. */
import { Document, isMap, isPair, visit } from 'yaml';
import type { InputKey } from '../inputs/catalogue.ts';
import type { Distribution } from '../inputs/distributions.ts';
import type { Shares } from '../inputs/stays.ts';
import type { Motor, Study } from './study.ts';

/** How the text begins, after the comment sign: by this it is known from a study that a person wrote. */
export const RESOLVED_HEAD = ' Everything this study says, as it was flown';
const HEADER = `${RESOLVED_HEAD}: defaults filled in, settings applied, curves and bench data in place.
 All numbers are SI: m, kg, s, N, rad, K, Pa. Compass angles turn clockwise from north; stations are aft of the nose tip.`;

/** Text of a study file. Loading it gives an equal `Study`, to the last bit. */
export function resolvedYaml(study: Study): string {
  const { title, seed, flights, design, vehicle, ascent, landing, rules, inputs, stays, sample, correlations, ...rest } = study;
  const { release } = vehicle.legs;
  const sections = {
    title,
    seed,
    flights,
    design,
    vehicle: {
      ...vehicle,
      aerodynamics: { coefficients: vehicle.aerodynamics },
      legs: {
        ...vehicle.legs,
        release: release.kind === 'afterApogee' ? { afterApogee: release.time } : { atHeight: release.height },
      },
    },
    ascent: motor(ascent),
    landing: motor(landing),
    ...rest,
    rules: Object.fromEntries(rules.map(({ name, constants, ...rule }) => [name, { ...rule, ...constants }])),
    inputs: {
      ...Object.fromEntries((Object.entries(inputs) as [InputKey, Distribution][]).map(([key, d]) => [key, variationEntry(d, stays[key])])),
      ...(sample === null ? {} : { sample }),
    },
    correlations: correlations.map(({ a, b, rank }) => ({ between: [a, b], rank })),
  };
  const document = new Document(sections, { aliasDuplicateObjects: false });
  document.commentBefore = HEADER;
  visit(document, {
    Seq: (_, node) => {
      node.flow = true;
    },
    Pair: (_, pair) => {
      if (isPair(pair) && isMap(pair.value) && pair.value.items.every(({ value }) => !isMap(value))) pair.value.flow = true;
    },
  });
  return document.toString({ lineWidth: 0 });
}

function motor({ curve, ...rest }: Motor): unknown {
  return { curve: curve.time.map((time, i) => [time, curve.thrust[i]]), ...rest };
}

/** How a study says that an input varies, with what stays beside. */
export function variationEntry(d: Distribution, stays: Shares | undefined): unknown {
  if (stays === undefined) return distribution(d);
  const levels = Object.keys(stays);
  return { ...(distribution(d) as object), stays: levels.length === 1 ? levels[0] : stays };
}

function distribution(d: Distribution): unknown {
  switch (d.kind) {
    case 'fixed':
      return d.value;
    case 'chance':
      return { chance: d.probability };
    case 'measured':
      return { measured: d.as === 'smooth' ? { values: d.values, as: d.as, bandwidth: d.bandwidth } : { values: d.values, as: d.as } };
    default: {
      const { kind, ...numbers } = d;
      return { [kind]: numbers };
    }
  }
}
