/**
 * The compiled kernel's memory, and an object in it seen as one of tsc's build: same fields, read and written where
 * they lie.
 */
import { type Field, fieldsOf, type KernelLayout } from './layout.ts';

export class KernelMemory {
  doubles: Float64Array<ArrayBuffer>;
  words: Int32Array<ArrayBuffer>;
  bytes: Uint8Array<ArrayBuffer>;
  readonly #memory: WebAssembly.Memory;

  constructor(memory: WebAssembly.Memory) {
    this.#memory = memory;
    this.doubles = new Float64Array(memory.buffer);
    this.words = new Int32Array(memory.buffer);
    this.bytes = new Uint8Array(memory.buffer);
  }

  /** To be called whenever the kernel may have asked for more memory: what was seen before is then seen no longer. */
  refresh(): void {
    const { buffer } = this.#memory;
    if (this.bytes.buffer === buffer) return;
    this.doubles = new Float64Array(buffer);
    this.words = new Int32Array(buffer);
    this.bytes = new Uint8Array(buffer);
  }
}

/**
 * Where AssemblyScript's typed arrays keep the address of their numbers and their length in bytes: words from the
 * object's start.
 */
const START = 1;
const LENGTH = 2;

/** Makes an array of so many numbers in the kernel. @returns its address */
export type NewNumbers = (length: number) => number;

/**
 * The object at an address, and all that hangs on it. Objects never move, so this is done once.
 * @param like the same object in tsc's build: what its fields are   @param type its class in the layout
 * @throws Error when the two builds do not agree (layout.ts)
 */
export function seen<T extends object>(
  memory: KernelMemory,
  layout: KernelLayout,
  like: T,
  type: string,
  address: number,
  newNumbers: NewNumbers,
): T {
  const view = {};
  for (const field of fieldsOf(layout, type, like)) {
    Object.defineProperty(view, field.name, { enumerable: true, ...access(memory, layout, like, field, address, newNumbers) });
  }
  return view as T;
}

function access(
  memory: KernelMemory,
  layout: KernelLayout,
  like: object,
  field: Field,
  address: number,
  newNumbers: NewNumbers,
): PropertyDescriptor {
  const place = address + field.offset;
  switch (field.kind) {
    case 'double': {
      const i = place / Float64Array.BYTES_PER_ELEMENT;
      return {
        get: () => memory.doubles[i],
        set: (value: number) => {
          memory.doubles[i] = value;
        },
      };
    }
    case 'whole': {
      const i = place / Int32Array.BYTES_PER_ELEMENT;
      return {
        get: () => memory.words[i],
        set: (value: number) => {
          if ((value | 0) !== value) throw new RangeError(`${field.name}: ${value} is no whole number of 32 bits`);
          memory.words[i] = value;
        },
      };
    }
    case 'yesNo':
      return {
        get: () => memory.bytes[place] === 1,
        set: (value: boolean) => {
          memory.bytes[place] = value ? 1 : 0;
        },
      };
    case 'numbers':
      return numbers(memory, place / Int32Array.BYTES_PER_ELEMENT, newNumbers);
    case 'object': {
      const part = (like as Readonly<Record<string, object>>)[field.name];
      const at = memory.words[place / Int32Array.BYTES_PER_ELEMENT];
      return { value: seen(memory, layout, part, field.type, at, newNumbers) };
    }
  }
}

/**
 * An array of numbers. Writing to the field copies into it, and makes a longer one when it has no room; it never
 * becomes shorter.
 */
function numbers(memory: KernelMemory, pointer: number, newNumbers: NewNumbers): PropertyDescriptor {
  let last = new Float64Array(0);
  const get = (): Float64Array => {
    const object = memory.words[pointer] / Int32Array.BYTES_PER_ELEMENT;
    const start = memory.words[object + START];
    const bytes = memory.words[object + LENGTH];
    if (last.buffer !== memory.bytes.buffer || last.byteOffset !== start || last.byteLength !== bytes) {
      last = new Float64Array(memory.bytes.buffer, start, bytes / Float64Array.BYTES_PER_ELEMENT);
    }
    return last;
  };
  return {
    get,
    set: (values: Float64Array) => {
      if (values.length > get().length) {
        const made = newNumbers(values.length);
        memory.refresh();
        memory.words[pointer] = made;
      }
      get().set(values);
    },
  };
}
