/**
 * The air at a height above the pad: its state and its mean wind. Steady; gusts.ts has what varies. Knows no vehicle.
 *
 * The troposphere of ISO 2533:1975, started from the temperature and pressure at the site's ground instead of at sea level.
 * Height is taken as geopotential height: 1 m less at 2.5 km.
 */
import { STANDARD_GRAVITY } from './gravity.ts';

/** J/(kg K), of dry air: ISO 2533's value. */
const R = 287.05287;
/** K/m, fall of temperature with height. */
const LAPSE = 0.0065;
/** dp/p = PRESSURE_EXPONENT dT/T in hydrostatic balance. */
const PRESSURE_EXPONENT = STANDARD_GRAVITY / (LAPSE * R);
/** m; closer to the ground the power law would let the wind vanish. */
const LEAST_WIND_HEIGHT = 0.5;
/** m; where a mean wind is measured (WMO). */
const WIND_REFERENCE_HEIGHT = 10;

/** K, `z` m above the ground. Falls linearly for ever: beyond 11 km it is not the standard's. */
export function temperature(siteTemperature: number, z: number): number {
  return siteTemperature - LAPSE * z;
}

/** Pa, `z` m above ground of this temperature (K) and pressure (Pa). NaN where the temperature would be negative (z > 44 km). */
export function pressure(siteTemperature: number, sitePressure: number, z: number): number {
  return sitePressure * (temperature(siteTemperature, z) / siteTemperature) ** PRESSURE_EXPONENT;
}

/** kg/m^3, `z` m above ground of this temperature (K) and pressure (Pa); dry air. */
export function density(siteTemperature: number, sitePressure: number, z: number): number {
  return pressure(siteTemperature, sitePressure, z) / (R * temperature(siteTemperature, z));
}

/**
 * d(rho)/dz in kg/m^4 where the air has this density (kg/m^3) and temperature (K):
 * rho = p/(R T) with dp/dz = -g0 rho and dT/dz = -LAPSE gives rho (LAPSE - g0/R)/T.
 */
export function densitySlope(localDensity: number, localTemperature: number): number {
  return (localDensity * (LAPSE - STANDARD_GRAVITY / R)) / localTemperature;
}

/**
 * Mean wind, m/s, `z` m above the ground: power law through `windSpeed` at 10 m. Common practice, no source; exponent 1/7 for open ground.
 * Below half a metre it stays what it is there, also below the pad's level on sloping ground.
 */
export function meanWind(z: number, windSpeed: number, exponent: number): number {
  return windSpeed * (Math.max(z, LEAST_WIND_HEIGHT) / WIND_REFERENCE_HEIGHT) ** exponent;
}
