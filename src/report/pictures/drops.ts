/**
 * What dropping the nominal vehicle from a range of apogees found: the softest burn height of each, and whether the
 * motor can land it at all.
 */
import type { DropRules } from '../../analysis/drops/dropRules.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { sentence } from '../findings.ts';
import { escaped, paragraphs } from '../markup.ts';
import { dropsOpening } from '../openings.ts';
import { ruleBlock } from '../ruleBlock.ts';
import { count, plain, rounded } from '../words.ts';

export function dropsSection(drawing: Drawing, d: DropRules): string {
  const figures = [heightsFigure(drawing, d), sinkFigure(drawing, d)];
  const left = d.left.map(({ kind, why }) => `No ${kind}: ${why}.`);
  const paste =
    d.rules.length === 0
      ? ''
      : `<p>${escaped('Rules that follow, as the flight computer believes; tuning on the odds finds what lands most often under all that varies.')}</p>
<pre>${escaped(ruleBlock(d.rules))}</pre>`;
  return `<section><h2 id="drops">What drops of the nominal vehicle say</h2>
${paragraphs([dropsOpening(d), verdictSentence(d)])}
<div class="grid">${figures.map(figureMarkup).join('\n')}</div>
${paste}
<div class="note">${paragraphs(left)}</div></section>`;
}

function verdictSentence({ verdict: v, drops }: DropRules): string {
  const numbers = `Landing impulse ${plain(v.impulse)} N s; the fall brings ${plain(v.fallMomentum)} N s to the ground (${plain(v.mass)} kg, ${plain(v.fallEnergy)} J), gravity up to ${plain(v.weightImpulse)} N s more while the motor burns.`;
  if (v.soft === 0) {
    return `It cannot land: the softest touchdown of all is ${plain(v.bestSink)} m/s against a limit of ${plain(v.sinkLimit)} m/s, wherever it is lit. ${numbers}`;
  }
  const among = (n: number): string =>
    n === drops.length ? `each of the ${count(n)} drops` : `${count(n)} of ${count(drops.length)} drops`;
  const lost = v.lost.map(({ outcome, count: times }) => `${count(times)} ${outcome}`).join(', ');
  const rest = v.stands === v.soft ? '' : ` Of these ${count(v.stands)} stand; the others: ${lost}.`;
  return `${sentence(among(v.soft))} can touch down within the limit of ${plain(v.sinkLimit)} m/s.${rest} ${numbers}`;
}

/** Burn heights against apogee, true and believed, with the fitted lines. */
function heightsFigure({ Plot, draw }: Drawing, d: DropRules): Figure {
  const points = d.drops.flatMap((drop) => [
    { which: 'true', apogee: drop.apogee, height: drop.burnHeight },
    { which: 'believed', apogee: drop.believedApogee, height: drop.believedBurnHeight },
  ]);
  const colour = { true: 'var(--measure)', believed: 'var(--ink)' };
  const fits = d.fits === null ? [] : [['true', d.fits.truth] as const, ['believed', d.fits.belief] as const];
  const lines = fits.flatMap(([which, fit]) => {
    const apogees = points.filter((p) => p.which === which).map((p) => p.apogee);
    return [Math.min(...apogees), Math.max(...apogees)].map((apogee) => ({
      which,
      apogee,
      height: fit.coefficients[0] + fit.coefficients[1] * apogee,
    }));
  });
  const title =
    d.fits === null
      ? 'No burn height lands it: no line through crashes is a rule'
      : `Burn height grows by ${rounded(d.fits.belief.coefficients[1], 3)} m for each metre of apogee, as believed (R² ${rounded(d.fits.belief.rSquared, 4)})`;
  const drawn = draw(`Softest burn height of each drop against its apogee, true and believed. ${title}.`, {
    width: WIDTH,
    height: 300,
    marginTop: 30,
    x: { label: 'apogee, m', ticks: 6 },
    y: { label: 'burn height, m', ticks: 6, grid: true, zero: true },
    marks: [
      ...(['true', 'believed'] as const).map((which) =>
        Plot.line(
          lines.filter((l) => l.which === which),
          {
            x: 'apogee',
            y: 'height',
            stroke: colour[which],
            strokeWidth: 1.2,
            ...(which === 'believed' ? { strokeDasharray: '4 3' } : {}),
          },
        ),
      ),
      Plot.dot(points, {
        x: 'apogee',
        y: 'height',
        fill: (p: (typeof points)[number]) => colour[p.which as 'true' | 'believed'],
        r: 3.5,
        title: (p: (typeof points)[number]) => `${p.which}: apogee ${plain(p.apogee)} m, burn height ${plain(p.height)} m`,
      }),
      ...(['true', 'believed'] as const).map((which, k) =>
        Plot.text([which], { frameAnchor: 'top-left', dx: 8 + 70 * k, dy: -18, fill: colour[which], fontWeight: 'bold' }),
      ),
    ],
  });
  const misses = fits.map(([which, fit]) => `${which} ${rounded(fit.largestResidual, 3)} m`).join(', ');
  const caption = `${count(d.drops.length)} drops of the nominal vehicle, without noise, gusts, stalls and sensor rounding, the command timed inside the tick: no luck in them, so no intervals. Burn height: what is left at the softest command less the way during the lead of ${rounded(d.lead, 3)} s.${misses === '' ? '' : ` Largest miss of the lines: ${misses}.`}`;
  return still('drops-heights', title, drawn, caption);
}

function sinkFigure({ Plot, draw }: Drawing, d: DropRules): Figure {
  const { sinkLimit, soft } = d.verdict;
  const title =
    soft === d.drops.length
      ? `From every apogee there is a touchdown within ${plain(sinkLimit)} m/s`
      : soft === 0
        ? `From no apogee is there a touchdown within ${plain(sinkLimit)} m/s`
        : `From ${count(soft)} of ${count(d.drops.length)} apogees there is a touchdown within ${plain(sinkLimit)} m/s`;
  const points = d.drops.map((drop) => ({
    apogee: drop.apogee,
    sink: drop.sink,
    colour: drop.soft ? 'var(--measure)' : 'none',
    title: `apogee ${plain(drop.apogee)} m: ${plain(drop.sink)} m/s at best, ${plain(drop.fallSpeed)} m/s without a landing motor`,
  }));
  const drawn = draw(`Sink speed of the softest touchdown of each drop against its apogee. ${title}.`, {
    width: WIDTH,
    height: 300,
    marginTop: 30,
    x: { label: 'apogee, m', ticks: 6 },
    y: { label: 'softest touchdown, m/s', ticks: 5, grid: true, domain: [0, 1.15 * Math.max(sinkLimit, ...points.map((p) => p.sink))] },
    marks: [
      Plot.ruleY([sinkLimit], { stroke: 'var(--ink)', strokeDasharray: '4 3' }),
      Plot.text([`limit ${plain(sinkLimit)} m/s`], {
        y: sinkLimit,
        frameAnchor: 'right',
        dy: -8,
        textAnchor: 'end',
        fill: 'var(--ink)',
      }),
      Plot.dot(points, { x: 'apogee', y: 'sink', fill: 'colour', stroke: 'var(--measure)', strokeWidth: 1.5, r: 3.5, title: 'title' }),
    ],
  });
  return still(
    'drops-sink',
    title,
    drawn,
    'The best that a command timed without error can do, nominal vehicle: what varies from flight to flight comes on top. Filled: within the limit; hollow: beyond it.',
  );
}
