/** The kernel's elementary functions, to be compiled alone by asc (maths/elementary.test.ts). */
export { acos, atan, atan2 } from '../../src/maths/elementary/arc.ts';
export { cos, sin, tan } from '../../src/maths/elementary/circular.ts';
export { exp, expm1 } from '../../src/maths/elementary/exponential.ts';
export { log, log1p } from '../../src/maths/elementary/logarithm.ts';
