/**
 * Where every field of every kernel class lies in the compiled kernel's memory, as its build wrote it into the binary,
 * held against the same classes as tsc built them. A field that one side has and the other has not, or has otherwise,
 * is an error when a kernel starts.
 */

/** Field -> its bytes from the start of an object, and asc's name for its type. */
export type ClassLayout = Readonly<Record<string, readonly [offset: number, type: string]>>;
/** By class: its file from the repository's root without the ending, `/`, its name. */
export type KernelLayout = Readonly<Record<string, ClassLayout>>;

/** What a field is, for whoever reads and writes it. */
export type Field =
  | { readonly kind: 'double' | 'whole' | 'yesNo' | 'numbers'; readonly name: string; readonly offset: number }
  | { readonly kind: 'object'; readonly name: string; readonly offset: number; readonly type: string };

const NUMBERS = '~lib/typedarray/Float64Array';

/** @throws Error when the binary has none: it is not the kernel's. */
export function readLayout(module: WebAssembly.Module): KernelLayout {
  const [section] = WebAssembly.Module.customSections(module, 'layout');
  if (section === undefined) throw new Error('this WebAssembly is no kernel: it does not say where its fields lie');
  return JSON.parse(new TextDecoder().decode(section)) as KernelLayout;
}

/** The full name of a class. @throws Error when the kernel has none or several of that name. */
export function typeNamed(layout: KernelLayout, name: string): string {
  const found = Object.keys(layout).filter((type) => type.endsWith(`/${name}`));
  if (found.length !== 1) throw new Error(`the compiled kernel has ${found.length} classes named ${name}`);
  return found[0];
}

/**
 * The fields of a class, in the order of `like`, an object of that class from tsc's build. @throws Error unless both
 * have the same fields.
 */
export function fieldsOf(layout: KernelLayout, type: string, like: object): readonly Field[] {
  const compiled = layout[type];
  if (compiled === undefined) throw new Error(`the compiled kernel has no class ${type}`);
  const missing = Object.keys(compiled).filter((name) => !Object.hasOwn(like, name));
  if (missing.length > 0) throw new Error(`${type}: ${missing.join(', ')} in the compiled kernel only. Build again.`);
  return Object.entries(like).map(([name, value]): Field => {
    const place = compiled[name];
    if (place === undefined) throw new Error(`${type}: ${name} is not in the compiled kernel. Build again.`);
    const [offset, kind] = place;
    if (typeof value === 'number' && kind === 'f64') return { kind: 'double', name, offset };
    if (typeof value === 'number' && kind === 'i32') return { kind: 'whole', name, offset };
    if (typeof value === 'boolean' && kind === 'bool') return { kind: 'yesNo', name, offset };
    if (value instanceof Float64Array && kind === NUMBERS) return { kind: 'numbers', name, offset };
    if (typeof value === 'object' && kind in layout) return { kind: 'object', name, offset, type: kind };
    throw new Error(`${type}: ${name} is ${kind} in the compiled kernel and ${typeof value} here. Build again.`);
  });
}
