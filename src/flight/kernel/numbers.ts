/**
 * The kernel's word for whole numbers of 32 bits. AssemblyScript knows it of itself; to tsc it is a plain number, whose
 * kind only asc checks. `number` is a double in both. Imported by index.ts alone, so that the declarations of kernel
 * files mean something to whoever uses them.
 */
declare global {
  type i32 = number;
}

export {};
