/** The pictures of legs and ground, as drawn when last looked at. */
import { expect, test } from 'vitest';
import { CONTACT_MEASURES, contactAnswer } from '../../../src/analysis/fly/contact.ts';
import { stream } from '../../../src/maths/streams.ts';
import { contactFinding } from '../../../src/report/findings.ts';
import { contactFigure } from '../../../src/report/pictures/contact.ts';
import { flights as rowsOf } from '../../analysis/flights.ts';
import { springsStudy } from '../../helpers/studyForTests.ts';
import { drawing, flights } from './madeUp.ts';
import { expectKept } from './readable.ts';

const draw = stream('pictures of contact');
const along = (f: () => number): Float64Array => Float64Array.from(flights.outcome, f);
const columns = {
  ...flights.columns,
  peakFootForce: along(() => 20 + 90 * draw() ** 3),
  greatestLean: along(() => 0.02 + 0.3 * draw() ** 2),
  slidPath: along(() => Math.max(0, 2 * draw() - 1)),
  rebounds: along(() => Math.floor(3 * draw())),
};
const study = springsStudy();
const found = contactAnswer({ ...flights, columns }, study, 0.95);
if (found === null) throw new Error('the study has no legs');

test.each(CONTACT_MEASURES)('%s', (measure) => expectKept(`contact-${measure}`, contactFigure(drawing, found, measure)));

test('titles say what is true without a limit of strength, and of no flight at all', () => {
  const { vehicle } = study;
  const endless = springsStudy({ vehicle: { ...vehicle, legs: { ...vehicle.legs, strength: null } } });
  const unmarked = contactAnswer({ ...flights, columns }, endless, 0.95);
  const none = contactAnswer(rowsOf([], ['peakFootForce', 'greatestLean', 'slidPath', 'rebounds']), study, 0.95);
  if (unmarked === null || none === null) throw new Error('the study has no legs');
  expect(contactFinding(unmarked, 'peakFootForce')).toMatch(/^In half of the touchdowns no foot is pressed by more than [\d.]+ \(.*\) N$/);
  expect(contactFinding(found, 'peakFootForce')).toMatch(/ of touchdowns press no foot beyond the nominal 60\.0 N$/);
  for (const measure of CONTACT_MEASURES) {
    expect(contactFinding(none, measure)).toBe('In no flight with a result did a foot touch the ground');
    expect(contactFigure(drawing, none, measure)).toBeNull();
  }
  expect(contactFigure(drawing, unmarked, 'peakFootForce')?.picture).not.toContain('strength');
});
