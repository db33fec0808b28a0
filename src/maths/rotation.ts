/**
 * The rotation matrix of an attitude quaternion (scalar first), one element a function: row i, column j of the matrix
 * that turns body vectors into local ones. Column 0 is the body axis in the local frame; for a local vector in body
 * axes take columns as rows. Plain functions of plain numbers, so that the step allocates nothing and they are inlined
 * where they are used.
 */

export function r00(y: number, z: number): number {
  return 1 - 2 * (y * y + z * z);
}

export function r01(w: number, x: number, y: number, z: number): number {
  return 2 * (x * y - w * z);
}

export function r02(w: number, x: number, y: number, z: number): number {
  return 2 * (x * z + w * y);
}

export function r10(w: number, x: number, y: number, z: number): number {
  return 2 * (x * y + w * z);
}

export function r11(x: number, z: number): number {
  return 1 - 2 * (x * x + z * z);
}

export function r12(w: number, x: number, y: number, z: number): number {
  return 2 * (y * z - w * x);
}

export function r20(w: number, x: number, y: number, z: number): number {
  return 2 * (x * z - w * y);
}

export function r21(w: number, x: number, y: number, z: number): number {
  return 2 * (y * z + w * x);
}

export function r22(x: number, y: number): number {
  return 1 - 2 * (x * x + y * y);
}
