/** What is said of intervals where flights are spread more evenly than by chance (sampling/design.ts). Computes nothing. */

/** Reads on, or begins a sentence. */
export const EVEN_DESIGN =
  'this design spreads flights more evenly than luck would, which no interval here counts on: they are wider than need be, by up to 1.7 times';
