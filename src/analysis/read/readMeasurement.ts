/** A kept measurement, read back for its page. Draws nothing. */
import { join } from 'node:path';
import { whatStands } from '../../results/whatStands.ts';
import type { Measurement } from '../measure/measurement.ts';
import { measurementSchema } from './measurementSchema.ts';
import { readAnswer } from './readAnswers.ts';

/** @returns null where the folder holds none   @throws UserError when it is damaged or of another version */
export function readMeasurement(folder: string): Measurement | null {
  return whatStands(folder) === 'folder' ? readAnswer(join(folder, 'measurement.json'), measurementSchema) : null;
}
