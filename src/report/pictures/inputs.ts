/** The inputs as flown: for each, what was asked for over the sample drawn. */
import type { DrawnInput } from '../../analysis/fly/drawnInputs.ts';
import { LEVEL } from '../../analysis/fly/summary.ts';
import { cdf } from '../../inputs/distributions.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { histogram } from '../../statistics/samples/histogram.ts';
import { distributionWords } from '../distributionWords.ts';
import type { Drawing } from '../drawing.ts';
import { drawnFinding, flightCount, sentence } from '../findings.ts';
import { inputWords } from '../inputWords.ts';
import { escaped } from '../markup.ts';
import { count, decimalsFor, percent, percentInterval, plain, rounded, shown } from '../words.ts';

const BINS = 24;

/** A finding, and one row an input, folded: long, and for those who doubt the draw. */
export function inputsSection(drawing: Drawing, inputs: readonly DrawnInput[]): string {
  const far = inputs.flatMap(({ row, departure }) => (departure === null ? [] : [{ key: row.key, departure }]));
  const largest = far.length === 0 ? null : far.reduce((a, b) => (Math.abs(b.departure) > Math.abs(a.departure) ? b : a));
  const title = `<h3>${escaped(drawnFinding(largest, inputs.length))}</h3>`;
  if (inputs.length === 0) return title;
  const n = inputs[0].values.length;
  const rows = inputs.map((input) => rowMarkup(drawing, input)).join('\n');
  return `${title}
<details class="fold"><summary>${escaped(inputs.length === 1 ? 'The one input, asked for and drawn' : `All ${inputs.length}, asked for and drawn`)}</summary>
<p class="note">${escaped(`Bars: the ${flightCount(n)} drawn. Line: what the study asks for. The small word is what a study file or an option calls it. Whatever is not listed stayed at its nominal value.`)}</p>
<div class="table" tabindex="0" role="region" aria-label="Inputs as flown"><table class="inputs">
<thead><tr><th scope="col">input</th><th scope="col">asked for</th><th scope="col">drawn</th><td></td></tr></thead>
<tbody>${rows}</tbody></table></div></details>`;
}

function rowMarkup(drawing: Drawing, input: DrawnInput): string {
  const { row, asked, mean, sd, low, high, values } = input;
  const to = shown(row.unit);
  const v = (x: number): string => plain(x * to.factor);
  let drawn: string;
  if (row.type === 'yesNo') {
    const happened = values.reduce((sum, x) => sum + (x === 1 ? 1 : 0), 0);
    const interval = clopperPearson(happened, values.length, LEVEL);
    drawn = `${count(happened)} times: ${percent(happened / values.length, interval)} (${percentInterval(interval)})`;
  } else {
    const d = decimalsFor((sd * to.factor) / Math.sqrt(values.length));
    drawn = `mean ${rounded(mean * to.factor, d)}, sd ${v(sd)}; ${v(low)} to ${v(high)}${to.unit === '' ? '' : ` ${to.unit}`}`;
  }
  const picture = row.type === 'yesNo' || !(high > low) ? '' : sketch(drawing, input);
  return `<tr><th scope="row">${escaped(sentence(inputWords(row.key)))}<span class="meaning">${escaped(row.meaning)} <code>${escaped(row.key)}</code></span></th><td>${escaped(distributionWords(asked, row.unit))}</td><td>${escaped(drawn)}</td><td>${picture}</td></tr>`;
}

function sketch({ Plot, draw }: Drawing, { row, asked, values, low, high }: DrawnInput): string {
  const edges = Array.from({ length: BINS + 1 }, (_, i) => low + ((high - low) * i) / BINS);
  edges[BINS] = high;
  const { counts } = histogram(values, edges);
  const below = cdf(asked);
  // Where single values have a share, the first bin holds its lower edge too.
  const atoms = asked.kind === 'discrete' || asked.kind === 'measured';
  const wanted = edges.slice(1).map((edge, i) => values.length * (below(edge) - (i === 0 && atoms ? 0 : below(edges[i]))));
  const bars = counts.map((n, i) => ({ low: edges[i], high: edges[i + 1], middle: 0.5 * (edges[i] + edges[i + 1]), n, wanted: wanted[i] }));
  return draw(`Drawn sample and distribution asked for, ${inputWords(row.key)}`, {
    width: 150,
    height: 40,
    marginLeft: 2,
    marginRight: 2,
    marginTop: 2,
    marginBottom: 2,
    axis: null,
    x: { domain: [low, high] },
    y: { domain: [0, Math.max(...counts, ...wanted)] },
    marks: [
      Plot.rectY(bars, { x1: 'low', x2: 'high', y: 'n', fill: 'var(--measure)', fillOpacity: 0.55 }),
      Plot.line(bars, { x: 'middle', y: 'wanted', stroke: 'var(--ink)', strokeWidth: 1.4 }),
    ],
  }).svg;
}
