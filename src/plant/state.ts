/** The true state's layout: named offsets into one Float64Array. Integrator, trace and tests share it. */

/** Centre of mass in the local frame (x east, y north, z up), m. */
export const RX = 0;
export const RY = 1;
export const RZ = 2;
/** Its velocity, m/s. */
export const VX = 3;
export const VY = 4;
export const VZ = 5;
/** Attitude, scalar first, turning body vectors into local ones. */
export const QW = 6;
export const QX = 7;
export const QY = 8;
export const QZ = 9;
/** Body rate, rad/s. */
export const WX = 10;
export const WY = 11;
export const WZ = 12;
/** Gimbal deflections toward body y and z, rad. */
export const D1 = 13;
export const D2 = 14;
export const STATE_SIZE = 15;

/** What the air, the wind, the legs and the commands are through one tick (flight-model section 7): offsets. */
export const WIND_X = 0;
export const WIND_Y = 1;
export const WIND_Z = 2;
/** kg/m^3 at HELD_Z, and its slope with height. */
export const DENSITY = 3;
export const DENSITY_SLOPE = 4;
export const HELD_Z = 5;
/** Share of the legs' deployment, 0..1. */
export const LEG_SHARE = 6;
/** Gimbal commands, rad. */
export const COMMAND_1 = 7;
export const COMMAND_2 = 8;
export const HELD_SIZE = 9;

/** What the motors and the mass are at one instant: offsets. Forces N, rates kg/s, kg, m, kg m^2. */
export const ASCENT_THRUST = 0;
export const LANDING_THRUST = 1;
export const ASCENT_FLOW = 2;
export const LANDING_FLOW = 3;
export const MASS = 4;
export const XCG = 5;
export const INERTIA_AXIAL = 6;
export const INERTIA_TRANSVERSE = 7;
export const LOAD_SIZE = 8;
