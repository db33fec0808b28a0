/** The pictures of flights flown, as drawn when last looked at. */
import { describe, expect, test } from 'vitest';
import { drawnInputs } from '../../../src/analysis/fly/drawnInputs.ts';
import { successCurves } from '../../../src/analysis/fly/successCurves.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { bandsFigure } from '../../../src/report/pictures/bands.ts';
import { beliefFigure } from '../../../src/report/pictures/belief.ts';
import { causesFigure } from '../../../src/report/pictures/causes.ts';
import { inputsSection } from '../../../src/report/pictures/inputs.ts';
import { landingMapFigure } from '../../../src/report/pictures/landingMap.ts';
import { touchdownFigure } from '../../../src/report/pictures/touchdown.ts';
import { drawing, flights, found, inPage, study } from './madeUp.ts';
import { expectKept } from './readable.ts';

test('how flights end', () => expectKept('causes', causesFigure(drawing, found.causes, found.odds)));

test.each(['sink', 'slide', 'tilt'] as const)('%s at touchdown', (measure) =>
  expectKept(`touchdown-${measure}`, touchdownFigure(drawing, found.touchdown, measure, inPage)),
);

describe('the landing map', () => {
  test('without a limit to the field', () => expectKept('landing-map', landingMapFigure(drawing, null, flights, found, inPage)));

  test('with one', () => expectKept('landing-map-limit', landingMapFigure(drawing, 25, flights, found, inPage)));

  test('leaves out a limit that would shrink the places to a blot, and says so', () => {
    const figure = landingMapFigure(drawing, 900, flights, found, inPage);
    expect(figure?.caption).toContain('The field’s limit, 900 m, lies outside the picture.');
    expect(figure?.picture).not.toContain('limit 900');
  });

  test('says what the answer says of distance and wind', () => {
    const figure = landingMapFigure(drawing, null, flights, found, inPage);
    const reach = found.scatter.distances.find(({ share }) => share === 0.95)?.value ?? Number.NaN;
    // To the digits that the title gives it.
    expect(Math.abs(Number(/within ([\d.]+) m/.exec(figure?.title ?? '')?.[1]) - reach)).toBeLessThanOrEqual(0.5);
    expect(figure?.caption).toContain(`Mean wind ${found.wind.speed?.toPrecision(3)} m/s`);
  });

  test('shows each failure in a mark of its own', () => {
    const figure = landingMapFigure(drawing, null, flights, found, inPage);
    expect(figure?.picture.match(/<li>/g)?.length).toBe(OUTCOMES.length - 1);
  });
});

test('belief at ignition', () => expectKept('belief', beliefFigure(drawing, study, flights, inPage)));

test('success along what varies', async () => {
  const { day } = successCurves(study, flights);
  await expectKept('bands', bandsFigure(drawing, { id: 'wind', name: 'mean wind speed', unit: day[0].unit }, day[0].bands, 'A note.'));
});

test('the inputs as flown: folded, in words and in the keys of a study', async () => {
  const section = inputsSection(drawing, drawnInputs(study, flights).slice(0, 2));
  expect(section).toMatch(/<details class="fold">(?!.*open)/);
  await expectKept('inputs', section);
});
