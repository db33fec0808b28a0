/**
 * The kernel's words for kinds of number. AssemblyScript knows them of itself; to tsc each is a plain number, whose
 * kind only asc checks. `number` is a double in both.
 */
declare type i32 = number;
