/** Agreement of two numbers within a stated absolute tolerance; NaN never agrees. */
import { expect } from 'vitest';

export function near(actual: number, expected: number, tolerance: number): void {
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThanOrEqual(tolerance);
}
