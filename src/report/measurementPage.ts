/** The page of a measurement: one self-contained HTML text, without a script. Reads and writes no file. */
import type { Estimate, Measurement } from '../analysis/measure/measurement.ts';
import { makeDrawing } from './drawing.ts';
import { figureMarkup } from './figure.ts';
import { inputWords } from './inputWords.ts';
import { escaped, htmlTable, paragraphs } from './markup.ts';
import { ownPage } from './ownPage.ts';
import { measuredFigures } from './pictures/measured.ts';
import { plain, shown, withInterval } from './words.ts';

export async function measurementPage(m: Measurement): Promise<string> {
  const figures = measuredFigures(await makeDrawing(), m);
  return ownPage({
    title: TITLES[m.kind],
    finding: m.finding,
    source: `From ${m.files.join(', ')}, by ${m.program}.`,
    sections: [
      `<section>
<div class="grid">${figures.map(figureMarkup).join('\n')}</div>
${numbers(m)}
</section>`,
      `<section><h2>To paste into the study</h2><pre>${escaped(m.block.join('\n'))}</pre></section>`,
      `<section><h2>How it was found</h2>${paragraphs(m.how)}</section>`,
    ],
    warnings: m.warnings,
  });
}

const TITLES: Readonly<Record<Measurement['kind'], string>> = {
  motor: 'Static firings',
  sensor: 'A sensor at rest',
  values: 'A measured list',
  legs: 'Drops on the legs',
};

function numbers(m: Measurement): string {
  switch (m.kind) {
    case 'motor':
      return htmlTable(
        null,
        [
          { head: '' },
          { head: 'impulse, N s' },
          { head: 'burn time, s' },
          { head: 'average, N' },
          { head: 'peak, N' },
          { head: 'delay, s' },
        ],
        [
          ...m.firings.map((f) => [
            f.name,
            estimate(f.impulse),
            plain(f.burnTime),
            plain(f.average),
            plain(f.peak),
            f.delay === null ? 'unknown' : plain(f.delay),
          ]),
          ...(m.firings.length === 1
            ? []
            : [['mean', estimate(m.impulse), estimate(m.burnTime), estimate(m.average), estimate(m.peak), delayOf(m.spreads)]]),
        ],
        'Firings',
      );
    case 'sensor':
      return htmlTable(
        null,
        [{ head: '' }, { head: 'unit' }, { head: 'level' }, { head: 'noise, unit/√Hz' }, { head: 'step' }, { head: 'wander' }],
        m.axes.map(({ sensor, axis, means, density, densityAtMost, step, wander }) => {
          const { unit, factor } = shown(sensor === 'gyro' ? 'rad/s' : 'm/s^2');
          const noise =
            density === null
              ? densityAtMost === null
                ? 'not to be told'
                : `under ${plain(factor * densityAtMost)}`
              : estimate(density, factor);
          return [
            `${sensor} ${axis.toLowerCase()}`,
            unit,
            estimate(means[0], factor),
            noise,
            step === null ? 'none seen' : estimate(step, factor),
            `${wander.atMost ? 'at most ' : ''}${estimate(wander, factor)}`,
          ];
        }),
        'Axes',
      );
    case 'legs':
      return htmlTable(
        null,
        [{ head: 'line' }, { head: 'drop, m' }, { head: 'rebound, m' }, { head: 'damping of a leg, N s/m' }],
        [
          ...m.drops.map(({ line, drop, rebound, damping }) => [
            String(line),
            plain(drop),
            plain(rebound),
            damping === null ? 'no rebound' : plain(damping),
          ]),
          ['mean', '', '', estimate(m.damping)],
        ],
        'Drops',
      );
    case 'values': {
      const { factor } = shown(m.unit);
      const facts = [
        ['mean', estimate(m.mean, factor)],
        ...(m.sd === null ? [] : [['standard deviation', estimate(m.sd, factor)]]),
        ...m.fits.map(({ kind, chance, refused }) => [
          kind,
          `${refused ? 'refused' : kind === m.chosen ? 'taken' : 'not refused'}, chance ${chance.toFixed(3)}`,
        ]),
      ];
      return htmlTable(null, [{ head: '' }, { head: inputWords(m.input) }], facts, 'Values');
    }
  }
}

function delayOf(spreads: Extract<Measurement, { kind: 'motor' }>['spreads']): string {
  const delay = spreads.find(({ what }) => what === 'delay');
  return delay === undefined ? 'unknown' : estimate(delay.mean);
}

function estimate({ value, interval }: Estimate, factor = 1): string {
  if (interval === null || interval[1] - interval[0] < 1e-9 * Math.abs(value)) return plain(factor * value);
  return withInterval(factor * value, [factor * interval[0], factor * interval[1]]);
}
