/// <reference lib="dom" />
/** What a reader of a narrow screen does not need first is folded there, open everywhere else and on paper. */

/** As the style's own. */
const NARROW = '(max-width: 46rem)';

/** Folds every `details.more` where the screen is narrow; for paper all are opened. */
export function foldOnNarrow(): void {
  const folds = [...document.querySelectorAll<HTMLDetailsElement>('details.more')];
  if (window.matchMedia(NARROW).matches) for (const fold of folds) fold.open = false;
  window.addEventListener('beforeprint', () => {
    for (const fold of folds) fold.open = true;
  });
}
