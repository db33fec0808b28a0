/**
 * The true state, what is held through a tick, and the load of one instant: plain named numbers, one shape each, made
 * once per worker and overwritten. Named fields measured a fifth faster here than typed arrays with imported offsets,
 * and read better.
 */

/** Also the shape of a state's derivative. */
export class TrueState {
  /** Centre of mass in the local frame (x east, y north, z up), m. */
  rx: number = 0;
  ry: number = 0;
  rz: number = 0;
  /** Its velocity, m/s. */
  vx: number = 0;
  vy: number = 0;
  vz: number = 0;
  /** Attitude, scalar first, turning body vectors into local ones. */
  qw: number = 1;
  qx: number = 0;
  qy: number = 0;
  qz: number = 0;
  /** Body rate, rad/s. */
  wx: number = 0;
  wy: number = 0;
  wz: number = 0;
  /** Gimbal deflections toward body y and z, rad. */
  d1: number = 0;
  d2: number = 0;
}

/** What the air, the wind, the legs and the commands are through one tick (model section 7). */
export class Held {
  /** Wind and gust in the local frame, m/s. */
  windX: number = 0;
  windY: number = 0;
  windZ: number = 0;
  /** kg/m^3 at height `z`, and its slope with height. */
  density: number = 0;
  densitySlope: number = 0;
  z: number = 0;
  /** Share of the legs' deployment, 0..1. */
  legShare: number = 0;
  /** Gimbal commands, rad. */
  command1: number = 0;
  command2: number = 0;
}

/** What the motors and the mass are at one instant: N, kg/s, kg, m, kg m^2. */
export class Load {
  ascentThrust: number = 0;
  landingThrust: number = 0;
  ascentFlow: number = 0;
  landingFlow: number = 0;
  mass: number = 1;
  xcg: number = 0;
  inertiaAxial: number = 1;
  inertiaTransverse: number = 1;
}

/** On the whole vehicle, in body axes: N, and N m about the centre of mass. */
export class ForceAndMoment {
  fx: number = 0;
  fy: number = 0;
  fz: number = 0;
  mx: number = 0;
  my: number = 0;
  mz: number = 0;
}

/** out = s + h k, all fifteen numbers; `out` may be `s`. */
export function addScaled(out: TrueState, s: TrueState, h: number, k: TrueState): void {
  out.rx = s.rx + h * k.rx;
  out.ry = s.ry + h * k.ry;
  out.rz = s.rz + h * k.rz;
  out.vx = s.vx + h * k.vx;
  out.vy = s.vy + h * k.vy;
  out.vz = s.vz + h * k.vz;
  out.qw = s.qw + h * k.qw;
  out.qx = s.qx + h * k.qx;
  out.qy = s.qy + h * k.qy;
  out.qz = s.qz + h * k.qz;
  out.wx = s.wx + h * k.wx;
  out.wy = s.wy + h * k.wy;
  out.wz = s.wz + h * k.wz;
  out.d1 = s.d1 + h * k.d1;
  out.d2 = s.d2 + h * k.d2;
}

/** The classical RK4 sum: out = s + h/6 (k1 + 2 k2 + 2 k3 + k4). */
export function addWeighted(out: TrueState, s: TrueState, h: number, k1: TrueState, k2: TrueState, k3: TrueState, k4: TrueState): void {
  const g = h / 6;
  out.rx = s.rx + g * (k1.rx + 2 * (k2.rx + k3.rx) + k4.rx);
  out.ry = s.ry + g * (k1.ry + 2 * (k2.ry + k3.ry) + k4.ry);
  out.rz = s.rz + g * (k1.rz + 2 * (k2.rz + k3.rz) + k4.rz);
  out.vx = s.vx + g * (k1.vx + 2 * (k2.vx + k3.vx) + k4.vx);
  out.vy = s.vy + g * (k1.vy + 2 * (k2.vy + k3.vy) + k4.vy);
  out.vz = s.vz + g * (k1.vz + 2 * (k2.vz + k3.vz) + k4.vz);
  out.qw = s.qw + g * (k1.qw + 2 * (k2.qw + k3.qw) + k4.qw);
  out.qx = s.qx + g * (k1.qx + 2 * (k2.qx + k3.qx) + k4.qx);
  out.qy = s.qy + g * (k1.qy + 2 * (k2.qy + k3.qy) + k4.qy);
  out.qz = s.qz + g * (k1.qz + 2 * (k2.qz + k3.qz) + k4.qz);
  out.wx = s.wx + g * (k1.wx + 2 * (k2.wx + k3.wx) + k4.wx);
  out.wy = s.wy + g * (k1.wy + 2 * (k2.wy + k3.wy) + k4.wy);
  out.wz = s.wz + g * (k1.wz + 2 * (k2.wz + k3.wz) + k4.wz);
  out.d1 = s.d1 + g * (k1.d1 + 2 * (k2.d1 + k3.d1) + k4.d1);
  out.d2 = s.d2 + g * (k1.d2 + 2 * (k2.d2 + k3.d2) + k4.d2);
}
