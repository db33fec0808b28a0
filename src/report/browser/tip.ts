/** Words beside the pointer: what the mark under it stands for. */

/** Pixels between pointer and words, and between words and the window's edge. */
const APART = 14;
const EDGE = 6;

export interface Tip {
  show(text: string, pointer: PointerEvent): void;
  hide(): void;
}

/**
 * Takes over the titles inside the pictures: a browser shows those late, and not at all on a touch screen. Without a
 * script they stay. The words stand in the pictures' descriptions too, so that nothing is for the pointer alone.
 */
export function makeTip(): Tip {
  const box = document.createElement('div');
  box.className = 'tip';
  box.hidden = true;
  box.setAttribute('aria-hidden', 'true');
  document.body.append(box);
  for (const title of document.querySelectorAll('svg.plot title')) {
    title.parentElement?.setAttribute('data-tip', title.textContent ?? '');
    title.remove();
  }
  const tip: Tip = {
    show: (text, { clientX, clientY }) => {
      box.textContent = text;
      box.hidden = false;
      const { width, height } = box.getBoundingClientRect();
      const right = clientX + APART + width <= window.innerWidth - EDGE;
      const left = right ? clientX + APART : clientX - APART - width;
      const top = clientY - APART - height;
      box.style.left = `${Math.max(EDGE, Math.min(left, window.innerWidth - width - EDGE))}px`;
      box.style.top = `${top >= EDGE ? top : clientY + APART}px`;
    },
    hide: () => {
      box.hidden = true;
    },
  };
  const under = (event: PointerEvent): void => {
    const marked = event.target instanceof Element ? event.target.closest('[data-tip]') : null;
    if (marked === null) tip.hide();
    else tip.show(marked.getAttribute('data-tip') ?? '', event);
  };
  document.addEventListener('pointermove', under);
  document.addEventListener('pointerdown', under);
  document.addEventListener('scroll', tip.hide, { passive: true });
  document.documentElement.addEventListener('pointerleave', tip.hide);
  return tip;
}
