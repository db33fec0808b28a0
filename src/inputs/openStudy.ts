/** Opening a study file with this program's catalogue of inputs. The work is study/load.ts. */
import { loadStudy, type OpenedStudy, type OpenOptions } from '../study/load.ts';
import { CATALOGUE } from './catalogue.ts';
import { correlationWarnings } from './reachedCorrelation.ts';
import { shareHeld, varies } from './varying.ts';

/**
 * Opens a study file.
 * @param options.set replacements `path=value`, applied in order   @param options.allowOutside let the study name files outside its folder
 * @throws UserError with one line for every problem of the file, its curves and its bench data
 */
export async function openStudy(path: string, options: OpenOptions = {}): Promise<OpenedStudy> {
  const opened = await loadStudy(path, { catalogue: CATALOGUE, varies, shareOutside: shareHeld }, options);
  return { ...opened, warnings: [...opened.warnings, ...correlationWarnings(opened.study)] };
}
