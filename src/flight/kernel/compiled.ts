/**
 * The compiled kernel: instantiated from its binary, its parameters and its record seen as objects of tsc's build.
 * Knows no file and no study; works in Node and in a browser alike.
 */
import type { FlightParameters } from '../parameters.ts';
import type { FlightRecord } from '../record.ts';
import * as source from './entry.ts';
import type { Kernel } from './kernel.ts';
import { readLayout, typeNamed } from './layout.ts';
import { KernelMemory, seen } from './memory.ts';

/** What asc's build exports: as entry.ts, objects by their addresses. */
interface Exports {
  readonly memory: WebAssembly.Memory;
  parameters(): number;
  record(): number;
  newNumbers(length: number): number;
  fly(): void;
}

/** @throws Error when the binary is no kernel, or not the one this program was built with */
export function compiledKernel(module: WebAssembly.Module): Kernel {
  const layout = readLayout(module);
  const instance = new WebAssembly.Instance(module, {
    env: {
      abort: (message: number, file: number, line: number, column: number) => {
        throw new Error(`${text(message)} (${text(file)}:${line}:${column})`);
      },
    },
  });
  const kernel = instance.exports as unknown as Exports;
  const memory = new KernelMemory(kernel.memory);
  const { newNumbers } = kernel;
  const text = (address: number): string => {
    // AssemblyScript's strings: UTF-16, their length in bytes in the word before.
    memory.refresh();
    const length = memory.words[address / Int32Array.BYTES_PER_ELEMENT - 1];
    return new TextDecoder('utf-16le').decode(memory.bytes.subarray(address, address + length));
  };
  const object = <T extends object>(like: T, address: number): T =>
    seen(memory, layout, like, typeNamed(layout, like.constructor.name), address, newNumbers);
  return {
    parameters: object<FlightParameters>(source.parameters(), kernel.parameters()),
    record: object<FlightRecord>(source.record(), kernel.record()),
    fly: () => {
      kernel.fly();
      memory.refresh();
    },
    user: null,
  };
}
