/** What was learnt from a logbook and kept, read back for its page. Draws nothing. */
import { join } from 'node:path';
import { whatStands } from '../../results/whatStands.ts';
import type { Learning } from '../learn/learning.ts';
import { learningSchema } from './learningSchema.ts';
import { readAnswer } from './readAnswers.ts';

/** @returns null where the folder holds none   @throws UserError when it is damaged or of another version */
export function readLearning(folder: string): Learning | null {
  return whatStands(folder) === 'folder' ? readAnswer(join(folder, 'learning.json'), learningSchema) : null;
}
