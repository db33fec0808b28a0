/// <reference lib="dom" />
/**
 * The page's own script begins here. It runs in a reader's browser, not in Node, and the page carries it as it is built
 * (pageScript.ts). Choosing flights by how they ended or by a band drawn in a picture, the same flights standing out in
 * every picture, one flight's numbers, words beside the pointer. Needs no network. Without it the page is whole but
 * still.
 */
import { everyFlight, markChosen } from './choice.ts';
import { chosenWords, flightWords } from './chosenWords.ts';
import { unpackFlights } from './flights.ts';
import { foldOnNarrow } from './folds.ts';
import { listenToKeys, listenToPointer, type Wishes } from './gestures.ts';
import type { PageData } from './pageData.ts';
import { makePicture } from './picture.ts';
import { makeTip, type Tip } from './tip.ts';

function element<T extends Element>(selector: string): T {
  const found = document.querySelector<T>(selector);
  if (found === null) throw new Error(`the page has no ${selector}`);
  return found;
}

function start(data: PageData, tip: Tip): void {
  const flights = unpackFlights(data.flights);
  const boxes = [...document.querySelectorAll<HTMLInputElement>('.filter input[type=checkbox]')];
  const numberBox = element<HTMLInputElement>('#flight-number');
  const panel = element<HTMLElement>('.chosen-box');
  const chosenLine = element<HTMLElement>('#chosen');
  const pickedLine = element<HTMLElement>('#picked');
  const clearButton = element<HTMLButtonElement>('#clear');
  const choice = everyFlight(flights.count);
  const pictures = data.figures.map((acting) =>
    makePicture(acting, element<HTMLElement>(`#${acting.figure} .acting`), flights, data.noResult),
  );

  const choose = (): void => {
    const endings = new Set(boxes.filter((box) => box.checked).map((box) => Number(box.value)));
    markChosen(choice, flights, endings, pictures.find(({ acting }) => acting.figure === choice.band?.figure) ?? null);
    choice.all = choice.band === null && boxes.every((box) => box.checked);
    for (const picture of pictures) picture.show(choice);
    panel.hidden = choice.all && pickedLine.textContent === '';
    clearButton.hidden = choice.all && choice.picked === null;
    chosenLine.textContent = choice.all ? '' : chosenWords(flights, choice.chosen, data);
  };

  /** @param wanted its number, where the page does not hold it */
  const pick = (row: number | null, wanted?: number): void => {
    choice.picked = row;
    pickedLine.replaceChildren();
    const number = row === null ? wanted : flights.numbers[row];
    if (number !== undefined) {
      const code = document.createElement('code');
      code.textContent = data.command[0] + number + data.command[1];
      const words = row === null ? `Flight ${number} is not among those this page holds.` : flightWords(flights, row, data.outcomes);
      pickedLine.append(`${words} Fly it again: `, code);
    }
    choose();
  };

  const clear = (): void => {
    choice.band = null;
    for (const box of boxes) box.checked = true;
    numberBox.value = '';
    pick(null);
  };

  const wishes: Wishes = {
    clear,
    chooseBand: (band) => {
      choice.band = band;
      tip.hide();
      choose();
    },
    hover: (picture, event) => {
      const row = picture.nearest(picture.spot(event), choice.chosen);
      if (row === null) return;
      tip.show(flightWords(flights, row, data.outcomes), event);
      event.stopPropagation();
    },
    click: (picture, event) => {
      const row = picture.nearest(picture.spot(event), choice.chosen);
      if (row === null) clear();
      else pick(row);
    },
    pickNext: () => {
      pick([...choice.chosen.keys()].find((row) => choice.chosen[row] === 1 && row > (choice.picked ?? -1)) ?? null);
    },
    bandOf: ({ acting }) => (choice.band?.figure === acting.figure ? choice.band : null),
  };
  for (const picture of pictures) {
    listenToPointer(picture, wishes);
    listenToKeys(picture, wishes);
  }
  for (const box of boxes) box.addEventListener('change', choose);
  clearButton.addEventListener('click', clear);
  numberBox.addEventListener('change', () => {
    const wanted = Number(numberBox.value);
    if (!Number.isInteger(wanted) || wanted < 1) return pick(null);
    const row = flights.numbers.indexOf(wanted);
    pick(row < 0 ? null : row, wanted);
  });
}

foldOnNarrow();
const pageTip = makeTip();
const pageText = document.querySelector('#page-data')?.textContent;
if (typeof pageText === 'string') start(JSON.parse(pageText) as PageData, pageTip);
document.documentElement.dataset.ready = 'yes';
