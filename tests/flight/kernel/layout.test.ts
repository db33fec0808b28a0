/** The boundary's field list: both builds agree on it, and a kernel that does not agree does not start. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parameters, record } from '../../../src/flight/kernel/entry.ts';
import { builtKernel } from '../../../src/flight/kernel/file.ts';
import { fieldsOf, type KernelLayout, readLayout, typeNamed } from '../../../src/flight/kernel/layout.ts';
import { OUTPUTS } from '../../../src/flight/outputs.ts';
import { FlightRecord } from '../../../src/flight/record.ts';

const module = new WebAssembly.Module(readFileSync(new URL('../../../dist/flight/kernel/kernel.wasm', import.meta.url)));
const layout = readLayout(module);

/** Every number, text apart, of an object and all that hangs on it, by its path. */
function scalars(object: object, path = ''): [string, unknown][] {
  return Object.entries(object).flatMap(([name, value]): [string, unknown][] =>
    typeof value === 'object' && !ArrayBuffer.isView(value) ? scalars(value, `${path}${name}.`) : [[`${path}${name}`, value]],
  );
}

describe('the compiled kernel’s parameters', () => {
  it('have every field of tsc’s build, each in a place of its own', () => {
    const kernel = builtKernel();
    const names = scalars(parameters()).map(([name]) => name);
    expect(scalars(kernel.parameters).map(([name]) => name)).toEqual(names);
    expect(names.length).toBeGreaterThan(150);
    // A different number in every field, all still there afterwards.
    const write = (object: object, next: () => number): void => {
      for (const [name, value] of Object.entries(object)) {
        if (typeof value === 'number') (object as Record<string, number>)[name] = next();
        else if (typeof value === 'object' && !ArrayBuffer.isView(value)) write(value, next);
      }
    };
    let n = 0;
    write(kernel.parameters, () => ++n);
    const numbers = scalars(kernel.parameters)
      .map(([, value]) => value)
      .filter((value) => typeof value === 'number');
    expect(numbers).toEqual(Array.from({ length: n }, (_, i) => i + 1));
  });

  it('take arrays of any length, and keep them when memory grows', () => {
    const { curve } = builtKernel().parameters.plant.landing;
    const long = Float64Array.from({ length: 300_000 }, (_, i) => i);
    curve.time = long;
    curve.thrust = long.subarray(0, 5);
    expect(curve.time[299_999]).toBe(299_999);
    expect([...curve.thrust.subarray(0, 5)]).toEqual([0, 1, 2, 3, 4]);
    curve.time = Float64Array.of(7, 8);
    expect([curve.time[0], curve.time[1], curve.time[2]]).toEqual([7, 8, 2]);
  });

  it('refuse what is no whole number where one belongs', () => {
    const kernel = builtKernel();
    expect(() => {
      kernel.parameters.substeps = 1.5;
    }).toThrow('substeps: 1.5 is no whole number');
  });
});

describe('a mismatch is an error at the start', () => {
  const type = typeNamed(layout, 'FlightRecord');
  const changed = (change: (fields: Record<string, readonly [number, string]>) => void): KernelLayout => {
    const fields = { ...layout[type] };
    change(fields);
    return { ...layout, [type]: fields };
  };
  const like = record();

  it.each<[string, KernelLayout, object, RegExp]>([
    ['a field here only', layout, Object.assign(new FlightRecord(), { colour: 1 }), /colour is not in the compiled kernel/],
    [
      'a field there only',
      changed((fields) => {
        fields.colour = [400, 'f64'];
      }),
      like,
      /colour in the compiled kernel only/,
    ],
    [
      'a field of another kind',
      changed((fields) => {
        fields.sink = [fields.sink[0], 'i32x'];
      }),
      like,
      /sink is i32x in the compiled kernel and number here/,
    ],
  ])('%s', (_, doctored, object, message) => {
    expect(() => fieldsOf(doctored, type, object)).toThrow(message);
  });

  it('a binary that says nothing, or knows no such class', () => {
    expect(() => readLayout(new WebAssembly.Module(Uint8Array.of(0, 97, 115, 109, 1, 0, 0, 0)))).toThrow('is no kernel');
    expect(() => typeNamed(layout, 'Colour')).toThrow('has 0 classes named Colour');
  });
});

it('the record has exactly the rows of the table of outputs', () => {
  expect(new Set(Object.keys(new FlightRecord()))).toEqual(new Set(OUTPUTS.map(({ key }) => key)));
});
