/** How the page and the card look: on a screen, light or dark, on a phone, on paper. */
import { customProperties, DARK, LIGHT } from './palette.ts';

/** A picture left alone in its row has its words beside it. */
const LONE_FIGURE = `
  .grid > figure:last-child:nth-child(odd) { grid-column: 1 / -1; display: grid; grid-template-columns: 1fr 1fr; column-gap: 2.2rem; }
  .grid > figure:last-child:nth-child(odd) > h3 { grid-column: 1 / -1; }
  .grid > figure:last-child:nth-child(odd) > figcaption { align-self: center; }`;

export const PAGE_STYLE = `
:root { color-scheme: light dark; ${customProperties(LIGHT)} }
@media (prefers-color-scheme: dark) { :root { ${customProperties(DARK)} } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.5 Charter, 'Bitstream Charter', 'Source Serif 4', Georgia, serif; }
main, header, footer { max-width: 70rem; margin: 0 auto; padding: 0 1.25rem; }
header { padding-top: 2rem; }
h1 { font-size: 1.15rem; font-weight: 600; margin: 0 0 0.4rem; color: var(--faint); }
.answer { font-size: clamp(1.5rem, 1.1rem + 2vw, 2.3rem); line-height: 1.22; margin: 0 0 0.6rem; max-width: 26em; text-wrap: balance; }
h2 { font-size: 1.3rem; margin: 2.6rem 0 0.2rem; padding-top: 0.8rem; border-top: 2px solid var(--ink); }
h3 { font-size: 1.02rem; line-height: 1.3; margin: 0 0 0.35rem; text-wrap: pretty; }
p { margin: 0.3rem 0 0.7rem; max-width: 46em; }
.note, figcaption, .meaning { color: var(--faint); font-size: 0.86rem; line-height: 1.42; }
figcaption { margin-top: 0.35rem; max-width: 60em; }
pre { white-space: pre-wrap; }
code, pre { font: 0.84em/1.4 ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace; overflow-wrap: anywhere; }
.cautions { border-left: 4px solid var(--ink); background: var(--panel); padding: 0.6rem 1rem; margin: 1rem 0; max-width: 52em; }
.cautions p { margin: 0.15rem 0; }
.grid { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 26rem), 1fr)); gap: 1.6rem 2.2rem; margin-top: 1rem; align-items: start; }
.wide { grid-column: 1 / -1; }
@media (min-width: 60rem) { ${LONE_FIGURE} }
.tip { position: fixed; z-index: 3; pointer-events: none; width: max-content; max-width: min(24rem, calc(100vw - 12px)); background: var(--ink); color: var(--paper); border-radius: 4px; padding: 0.3rem 0.6rem; font: 0.82rem/1.35 ui-sans-serif, system-ui, 'Liberation Sans', Arial, sans-serif; }
details.fold { margin: 0.4rem 0 0.8rem; }
summary { cursor: pointer; padding: 0.35rem 0; max-width: 46em; }
figure { margin: 0; min-width: 0; }
.picture { font-family: ui-sans-serif, system-ui, 'Liberation Sans', Arial, sans-serif; position: relative; }
.picture svg.plot, .curves svg.plot, td svg.plot { display: block; width: 100%; height: auto; }
.picture svg.plot { max-width: 40rem; }
.acting { touch-action: pan-y; -webkit-user-select: none; user-select: none; cursor: crosshair; }
.acting:focus-visible, .table:focus-visible, .curves:focus-visible, .row:focus-visible, summary:focus-visible, button:focus-visible, input:focus-visible, label:focus-within { outline: 3px solid var(--accent); outline-offset: 2px; }
.key { list-style: none; display: flex; flex-wrap: wrap; gap: 0.1rem 1.1rem; padding: 0; margin: 0.2rem 0; font-size: 0.86rem; }
.key li, .filter label { display: inline-flex; align-items: center; gap: 0.35rem; }
.mark { flex: none; }
svg .flights .off { opacity: 0.07; }
svg .picked { fill: none; stroke: var(--ink); stroke-width: 2; }
svg .chosen { fill: var(--ink); fill-opacity: 0.8; }
svg .band { fill: var(--accent); fill-opacity: 0.13; stroke: var(--accent); stroke-dasharray: 3 2; }
.filter { border: 1px solid var(--line); border-radius: 6px; padding: 0.5rem 0.9rem 0.7rem; margin: 1rem 0 0; display: flex; flex-wrap: wrap; gap: 0.3rem 1.2rem; font-size: 0.92rem; }
.filter legend { padding: 0 0.4rem; color: var(--faint); font-size: 0.86rem; }
.filter label { min-height: 1.8rem; }
.filter input[type='checkbox'] { accent-color: var(--accent); width: 1.05rem; height: 1.05rem; margin: 0; }
.filter input[type='number'] { width: 7em; font: inherit; padding: 0.1rem 0.4rem; background: var(--paper); color: var(--ink); border: 1px solid var(--faint); border-radius: 4px; }
.chosen-box { position: sticky; bottom: 0; z-index: 2; background: var(--panel); border: 1px solid var(--faint); border-radius: 6px 6px 0 0; padding: 0.5rem 0.9rem; margin-top: 1rem; font-size: 0.92rem; }
.chosen-box p { margin: 0.1rem 0; max-width: none; }
.chosen-box button { font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--faint); border-radius: 4px; padding: 0.15rem 0.7rem; cursor: pointer; }
[hidden] { display: none !important; }
.table, .curves { overflow-x: auto; }
/* A shade at an edge beyond which there is more: the cover scrolls along with the content, the shade stays. */
.table { margin: 0.8rem 0; background:
  linear-gradient(to right, var(--paper) 40%, transparent) 0 0 / 3rem 100% no-repeat local,
  linear-gradient(to left, var(--paper) 40%, transparent) 100% 0 / 3rem 100% no-repeat local,
  linear-gradient(to right, var(--edge), transparent) 0 0 / 1.1rem 100% no-repeat scroll,
  linear-gradient(to left, var(--edge), transparent) 100% 0 / 1.1rem 100% no-repeat scroll; }
:root { --edge: color-mix(in srgb, var(--ink) 38%, transparent); }
table { border-collapse: collapse; font-size: 0.9rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-size: 0.86rem; color: var(--faint); padding-bottom: 0.3rem; }
th, td { text-align: left; font-weight: 400; padding: 0.25rem 1.1rem 0.25rem 0; border-bottom: 1px solid var(--line); vertical-align: top; }
tbody th { min-width: 7rem; }
tbody td:not(.number) { min-width: 13rem; overflow-wrap: anywhere; }
thead th { color: var(--faint); font-size: 0.86rem; border-bottom-color: var(--faint); white-space: nowrap; }
.number { text-align: right; }
tbody td.number { white-space: nowrap; }
.inputs td:last-child { width: 10rem; min-width: 10rem; padding-right: 0; }
.meaning { display: block; }
.flight { margin-top: 1.4rem; }
.curves { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0.6rem 1.4rem; font-family: ui-sans-serif, system-ui, 'Liberation Sans', Arial, sans-serif; }
.curves svg.plot { max-width: 30rem; }
@media (max-width: 46rem) {
  main, header, footer { padding: 0 1rem; }
  header { padding-top: 1.1rem; }
  h2 { margin-top: 1.6rem; padding-top: 0.5rem; }
  .grid { gap: 1.3rem; }
  .note, figcaption, .meaning { font-size: 0.8rem; line-height: 1.36; }
  .filter { gap: 0.1rem 0.9rem; font-size: 0.86rem; }
  /* Pictures of one kind stand in a row to push along; the next one looks in from the edge. */
  .curves { grid-template-columns: none; grid-auto-flow: column; grid-auto-columns: min(86%, 22rem); scroll-snap-type: x proximity; padding-bottom: 0.4rem; }
  .curves > * { scroll-snap-align: start; }
  .flight { margin-top: 0.9rem; }
  .row { display: flex; overflow-x: auto; gap: 1rem; align-items: flex-start; scroll-snap-type: x proximity; }
  .row > figure { flex: 0 0 min(91%, 24rem); scroll-snap-align: start; }
  .row svg.plot { font-size: 14.2px !important; }
}
footer { padding-top: 2rem; padding-bottom: 3rem; }
@media print {
  @page { margin: 14mm; }
  :root { ${customProperties(LIGHT)} color-scheme: light; }
  :root { font-size: 9.5pt; }
  body { font-size: 1rem; background: none; }
  main, header, footer { max-width: none; padding: 0; }
  header { padding-top: 0; }
  .filter, .chosen-box, .tip { display: none !important; }
  .table { background: none; }
  figure, .flight, tr, .cautions { break-inside: avoid; }
  h2, h3, caption, thead, .before { break-after: avoid; }
  thead { display: table-header-group; }
  .table, .curves { overflow: visible; }
  .grid { display: grid; grid-template-columns: 1fr 1fr; gap: 1rem 1.4rem; }
  .curves { grid-template-columns: 1fr 1fr 1fr; grid-auto-flow: row; }
  ${LONE_FIGURE}
  h2 { margin-top: 1.6rem; }
}
`;
