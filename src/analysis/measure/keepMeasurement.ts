/** A measurement kept in a folder: its numbers, its page, and a motor's curve as a file for a study. */
import { ResultsFolder } from '../../results/folder.ts';
import { programVersion } from '../../results/header.ts';
import { clearSilentLock } from '../../results/lock.ts';
import { CURVE_MARK } from '../../results/mark.ts';
import type { Measurement, MotorMeasurement } from './measurement.ts';

/**
 * @param page its HTML
 * @throws UserError when the folder cannot take it, or holds what may not be replaced
 */
export async function keepMeasurement(out: string, force: boolean, measurement: Measurement, page: string): Promise<void> {
  await clearSilentLock(out);
  const folder = ResultsFolder.prepare(out, force ? 'older' : 'none');
  try {
    folder.writeJson('measurement.json', measurement);
    folder.write('report.html', page);
    if (measurement.kind === 'motor') folder.write('curve.csv', curveText(measurement));
    folder.finish(true);
  } finally {
    folder.close();
  }
}

/** As a study names it: `curve: curve.csv`. */
function curveText({ curve, files, firings }: MotorMeasurement): string {
  const rows = curve.time.map((t, i) => `${Number(t.toPrecision(6))},${Number(curve.thrust[i].toPrecision(6))}`);
  return `${CURVE_MARK}${programVersion()}: ${firings.length === 1 ? 'one firing' : `mean of ${firings.length} firings`}, ${files.join(' ')}\ntime_s,thrust_N\n${rows.join('\n')}\n`;
}
