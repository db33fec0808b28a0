/**
 * The page and the card in a real browser: drawn, whole, reachable, readable, and acting. Run by .ci/browser, not by
 * vitest.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import axe from 'axe-core';
import { alight, launch, open, studyFolder } from './setUp.mjs';

const FLIGHTS = 3000;

let browser;
let place;
let pages;
let summary;

before(async () => {
  place = studyFolder();
  const { folder } = place;
  alight(folder, 'fly', 'thistledown.yaml', '--flights', String(FLIGHTS), '--out', 'flown');
  alight(folder, 'compare', 'thistledown.yaml', '--flights', '300', '--across', 'wind.speed', '--out', 'compared');
  alight(folder, 'rank', 'thistledown.yaml', '--flights', '60', '--out', 'ranked');
  alight(folder, 'tune', 'thistledown.yaml', '--rule', 'apogee-line', '--flights', '8000', '--out', 'tuned');
  alight(folder, 'tune', 'thistledown.yaml', '--rule', 'fixed-height', '--flights', '3000', '--out', 'tuned-height');
  alight(folder, 'tune', 'thistledown.yaml', '--drops', '--steps', '5', '--out', 'dropped');
  alight(folder, 'rank', 'flown', '--out', 'ranked-flown');
  alight(folder, 'report', 'flown');
  alight(folder, 'report', 'compared', 'ranked', 'ranked-flown', 'dropped', 'tuned', 'tuned-height');
  alight(folder, 'card', 'flown', '--least', '80%');
  pages = {
    flown: join(folder, 'flown/report.html'),
    compared: join(folder, 'compared/report.html'),
    card: join(folder, 'flown/card.html'),
  };
  summary = JSON.parse(readFileSync(join(folder, 'flown/summary.json'), 'utf8'));
  browser = await launch();
});

after(async () => {
  await browser?.close();
  place?.remove();
});

const VIEWS = [
  ['desktop, light', {}],
  ['desktop, dark', { colorScheme: 'dark' }],
  ['phone', { viewport: { width: 360, height: 740 } }],
];

for (const name of ['flown', 'compared', 'card']) {
  for (const [view, options] of VIEWS) {
    test(`${name}, ${view}: no complaint, no request but the page, nothing wider than the screen, accessible`, async () => {
      const { page, complaints, requests, close } = await open(browser, pages[name], options);
      assert.deepEqual(complaints, []);
      assert.deepEqual(requests, [`file://${pages[name]}`]);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
      // Outside the page's own rules: the page would refuse an added script.
      await page.evaluate(axe.source);
      const { violations, passes } = await page.evaluate(() => globalThis.axe.run());
      assert.deepEqual(
        violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`),
        [],
      );
      assert.ok(passes.some((p) => p.id === 'color-contrast'));
      await close();
    });
  }

  test(`${name}: whole on paper`, async () => {
    // Between the margins of a sheet of A4, in CSS pixels.
    const { page, close } = await open(browser, pages[name], { viewport: { width: 688, height: 1000 } });
    await page.emulateMedia({ media: 'print' });
    const wide = await page.evaluate(() =>
      [...document.querySelectorAll('body *')]
        .filter((e) => e.getBoundingClientRect().right > 690 && e.closest('svg') === null)
        .map((e) => e.outerHTML.slice(0, 120)),
    );
    assert.deepEqual(wide, []);
    assert.equal(await page.locator('.filter:visible, .chosen-box:visible').count(), 0);
    // A heading at the foot of a sheet would part from what it heads: each is kept from a break after it.
    const loose = await page.evaluate(() =>
      [...document.querySelectorAll('main h2, main h3, .before')]
        .filter((e) => getComputedStyle(e).breakAfter !== 'avoid')
        .map((e) => e.textContent),
    );
    assert.deepEqual(loose, []);
    if (name === 'card') {
      const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: false })).toString('latin1');
      assert.equal(pdf.match(/\/Type\s*\/Page[^s]/g)?.length, 1, 'the card is one sheet');
    }
    await close();
  });
}

for (const name of ['flown', 'compared']) {
  for (const [view, options] of VIEWS.filter(([v]) => v !== 'desktop, dark')) {
    test(`${name}, ${view}: pictures are drawn, their words legible and not over one another`, async () => {
      const { page, close } = await open(browser, pages[name], options);
      const found = await page.evaluate(() =>
        [...document.querySelectorAll('figure svg.plot, .curves svg.plot')].map((svg) => {
          const box = svg.getBoundingClientRect();
          const scale = box.width / svg.viewBox.baseVal.width;
          const marks = [...svg.querySelectorAll('circle, path, rect, line')].filter((e) => {
            const b = e.getBoundingClientRect();
            return b.width > 0 || b.height > 0;
          }).length;
          const texts = [...svg.querySelectorAll('text')]
            .filter((t) => t.textContent !== '')
            .map((t) => ({
              text: t.textContent,
              b: t.getBoundingClientRect(),
              size: Number.parseFloat(getComputedStyle(t).fontSize) * scale,
            }));
          const over = [];
          texts.forEach((one, i) => {
            for (const other of texts.slice(i + 1)) {
              // A sixth of the letters' height may meet: boxes are taller than letters.
              const dx = Math.min(one.b.right, other.b.right) - Math.max(one.b.left, other.b.left);
              const dy = Math.min(one.b.bottom, other.b.bottom) - Math.max(one.b.top, other.b.top);
              if (dx > 1 && dy > one.size / 6 + 1) over.push(`${one.text} / ${other.text}`);
            }
          });
          // A row of pictures is pushed along: those beyond the screen are not cut off.
          const edge = svg.closest('.row, .curves') === null ? innerWidth : Number.POSITIVE_INFINITY;
          const cut = texts.filter((t) => t.b.left < box.left - 4 || t.b.right > Math.min(box.right + 8, edge)).map((t) => t.text);
          const where = svg.getAttribute('aria-label').slice(0, 60);
          return { where, marks, small: texts.filter((t) => t.size < 8.5).length, over, cut };
        }),
      );
      assert.ok(found.length >= 10, `${found.length} pictures`);
      for (const { where, marks, small, over, cut } of found) {
        assert.ok(marks > 3, `${where}: ${marks} marks`);
        assert.equal(small, 0, `${where}: words too small`);
        assert.deepEqual(over, [], where);
        assert.deepEqual(cut, [], where);
      }
      await close();
    });
  }
}

describe('on a phone', () => {
  const phone = { viewport: { width: 420, height: 800 }, hasTouch: true };

  test('the page of flights is short, and what is wider than the screen shows that there is more', async () => {
    const { page, close } = await open(browser, pages.flown, phone);
    const height = await page.evaluate(() => document.documentElement.scrollHeight);
    // Under half of the 13,100 px that it took when nothing was folded.
    assert.ok(height < 6_550, `${height} px`);
    const cues = await page.evaluate(() =>
      [...document.querySelectorAll('.table, .curves, .row')]
        .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1)
        .map((e) => {
          const box = e.getBoundingClientRect();
          // The next picture looks in from the edge, or the edge is shaded.
          const next = [...e.children].some(
            (c) => c.getBoundingClientRect().left < box.right - 8 && c.getBoundingClientRect().right > box.right,
          );
          return {
            what: e.getAttribute('aria-label'),
            cued: e.matches('.table') ? getComputedStyle(e).backgroundImage.includes('gradient') : next,
          };
        }),
    );
    assert.ok(cues.length >= 3, `${cues.length} regions that scroll`);
    assert.deepEqual(
      cues.filter(({ cued }) => !cued),
      [],
    );
    await close();
  });

  test('a tap on a bar says what it stands for', async () => {
    const { page, close } = await open(browser, pages.flown, phone);
    const bar = page.locator('#causes rect[data-tip]').first();
    await bar.scrollIntoViewIfNeeded();
    await bar.tap();
    assert.match(await page.locator('.tip').textContent(), /^Landed: [\d,]+ of 3,000 flights/);
    await close();
  });
});

test('what a narrow screen folds is open on a wide one, and on paper', async () => {
  const foldsOf = async (options) => {
    const { page, close } = await open(browser, pages.flown, options);
    const folds = page.locator('details.more');
    const count = await folds.count();
    const states = () => folds.evaluateAll((all) => all.filter((fold) => fold.open).length);
    const before = await states();
    await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
    const after = await states();
    await close();
    return { count, before, after };
  };
  assert.deepEqual(await foldsOf({}), { count: 2, before: 2, after: 2 });
  assert.deepEqual(await foldsOf({ viewport: { width: 420, height: 800 } }), { count: 2, before: 0, after: 2 });
});

test('the long table of inputs is folded, and opens', async () => {
  const { page, close } = await open(browser, pages.flown);
  const table = page.locator('table.inputs');
  assert.equal(await table.isVisible(), false);
  await page.locator('details.fold summary', { hasText: 'asked for and drawn' }).focus();
  await page.keyboard.press('Enter');
  assert.equal(await table.isVisible(), true);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
  await close();
});

describe('words beside the pointer', () => {
  const hover = async (page, target) => {
    await target.scrollIntoViewIfNeeded();
    // Words go away when the page is scrolled, and that is told only with the next frame.
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    const box = await target.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    const tip = page.locator('.tip');
    // A machine at work may take its time over the event.
    const shown = await tip.waitFor({ state: 'visible', timeout: 3000 }).then(
      () => true,
      () => false,
    );
    if (!shown) return null;
    const { x, y, width, height } = await tip.boundingBox();
    assert.ok(x >= 0 && y >= 0 && x + width <= 1280 && y + height <= 900, 'the words are on the screen');
    return tip.textContent();
  };

  test('tell a flight, a bar, a band and a moment of a flight', async () => {
    const { page, complaints, close } = await open(browser, pages.flown);
    assert.match(await hover(page, page.locator('#map .flights > *').nth(20)), /^Flight \d+: [a-z ]+; sink/);
    assert.match(await hover(page, page.locator('#touchdown-sink rect[data-tip]').nth(6)), /m\/s: [\d,]+ flights$/);
    assert.match(await hover(page, page.locator('#bands-wind circle[data-tip]').first()), /% \(/);
    assert.match(await hover(page, page.locator('.curve rect[data-tip]').nth(12)), /s: height .* believed .* off by/);
    await page.mouse.move(3, 3);
    assert.equal(await page.locator('.tip').isVisible(), false);
    assert.deepEqual(complaints, []);
    await close();
  });
});

describe('choosing flights', () => {
  test('by their end: the count is the summary’s, and other flights fade in every picture', async () => {
    const { page, complaints, close } = await open(browser, pages.flown);
    const boxes = page.locator('.filter input[type=checkbox]');
    for (const box of await boxes.all()) {
      const words = await box.evaluate((e) => e.parentElement.textContent);
      if (!words.startsWith('landed')) await box.uncheck();
    }
    const text = await page.locator('#chosen').textContent();
    assert.ok(text.startsWith(`${summary.odds.landed.toLocaleString('en-GB')} of ${FLIGHTS.toLocaleString('en-GB')} flights chosen`), text);
    assert.match(text, /100\.00? % \(95 % interval by Clopper and Pearson/);
    for (const id of ['map', 'belief']) {
      const shown = await page
        .locator(`#${id} .flights > *:not(.off)`)
        .evaluateAll((dots) => new Set(dots.map((d) => d.getAttribute('fill'))).size);
      assert.equal(shown, 1, `${id} shows one kind of ending`);
      assert.ok((await page.locator(`#${id} .flights > .off`).count()) > 100);
    }
    assert.ok((await page.locator('#touchdown-slide rect.chosen').count()) > 3);
    await page.click('#clear');
    assert.equal(await page.locator('.flights > .off').count(), 0);
    assert.equal(await page.locator('.chosen-box:visible').count(), 0);
    assert.deepEqual(complaints, []);
    await close();
  });

  test('by a band across a picture: as many as the summary has within the limit', async () => {
    const { page, close } = await open(browser, pages.flown);
    const { x, limit, values } = await page.evaluate(() => {
      const data = JSON.parse(document.querySelector('#page-data').textContent);
      const acting = data.figures.find((f) => f.figure === 'touchdown-sink');
      const { low, step, data: text } = data.flights.columns.find((c) => c.key === 'sink');
      const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
      const values = [...new Uint16Array(bytes.buffer)].map((v) => low + step * v);
      return { x: acting.x.scale, limit: acting.bins.edges[10], values };
    });
    const svg = page.locator('#touchdown-sink svg.plot');
    await svg.scrollIntoViewIfNeeded();
    const box = await svg.boundingBox();
    const scale = box.width / 480;
    const at = (v) => box.x + scale * (x.range[0] + ((v - x.domain[0]) / (x.domain[1] - x.domain[0])) * (x.range[1] - x.range[0]));
    await page.mouse.move(at(0) - 3, box.y + 80);
    await page.mouse.down();
    await page.mouse.move(at(limit / 2), box.y + 90, { steps: 3 });
    await page.mouse.move(at(limit), box.y + 100, { steps: 3 });
    await page.mouse.up();
    const chosen = Number((await page.locator('#chosen').textContent()).split(' ')[0].replaceAll(',', ''));
    // The pointer stands on whole pixels: flights within a pixel of the limit may fall on either side.
    const pixel = (x.domain[1] - x.domain[0]) / (scale * (x.range[1] - x.range[0]));
    const near = values.filter((v) => Math.abs(v - limit) <= pixel).length;
    const { within } = summary.touchdown.measures.sink;
    assert.ok(Math.abs(chosen - within) <= near && near < within / 10, `${chosen} chosen, ${within} within the limit, ${near} near it`);
    assert.ok((await page.locator('#map .flights > .off').count()) > 100);
    assert.ok((await page.locator('#touchdown-sink rect.band').count()) === 1);
    await close();
  });

  test('one by a click: its numbers are those of the command it names', async () => {
    const { page, close } = await open(browser, pages.flown);
    const dot = page.locator('#belief .flights > *').nth(40);
    await dot.scrollIntoViewIfNeeded();
    const box = await dot.boundingBox();
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    const words = await page.locator('#picked').textContent();
    const [, number, outcome, sink] = /^Flight (\d+): ([^;]+); sink ([\d.]+) m\/s/.exec(words);
    const command = await page.locator('#picked code').textContent();
    assert.equal(command, `alight trace flown/study.yaml ${number} --rule fixed-height`);
    const traced = JSON.parse(alight(place.folder, ...command.split(' ').slice(1), '--json'));
    assert.equal(traced.outputs.outcome, outcome);
    // Half the last digit shown and half a step of the sixteen bits.
    assert.ok(Math.abs(traced.outputs.sink - Number(sink)) < 0.0055, `${traced.outputs.sink} and ${sink}`);
    assert.ok((await page.locator('circle.picked').count()) >= 1);
    await close();
  });

  test('the ring of a flight beyond a picture is not drawn on the words around it', async () => {
    const { page, close } = await open(browser, pages.flown);
    // A flight that touches down harder than the picture of belief is high.
    const number = await page.evaluate(() => {
      const { flights, figures } = JSON.parse(document.querySelector('#page-data').textContent);
      const bytes = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer;
      const { low, step, data } = flights.columns.find((c) => c.key === 'sink');
      const top = figures.find((f) => f.figure === 'belief').y.scale.domain[1];
      const row = new Uint16Array(bytes(data)).findIndex((whole) => whole !== flights.none && low + step * whole > 1.1 * top);
      return row < 0 ? null : String(new Uint32Array(bytes(flights.numbers))[row]);
    });
    assert.ok(number !== null);
    await page.fill('#flight-number', number);
    await page.keyboard.press('Enter');
    assert.match(await page.locator('#picked').textContent(), new RegExp(`^Flight ${number}: `));
    assert.equal(await page.locator('#belief circle.picked').count(), 0);
    const rings = await page.evaluate(() =>
      [...document.querySelectorAll('circle.picked')].map((ring) => {
        const frame = JSON.parse(document.querySelector('#page-data').textContent).figures.find(
          (f) => f.figure === ring.closest('figure').id,
        );
        const inside = (v, [a, b]) => v >= Math.min(a, b) && v <= Math.max(a, b);
        return inside(Number(ring.getAttribute('cx')), frame.x.scale.range) && inside(Number(ring.getAttribute('cy')), frame.y.scale.range);
      }),
    );
    assert.ok(rings.every((inside) => inside));
    await close();
  });

  test('the share of all flights is the page’s own, to its last digit', async () => {
    const { page, close } = await open(browser, pages.flown);
    // A band over the whole width leaves out no flight that is drawn.
    const box = page.locator('.filter input[type=checkbox]').last();
    await box.uncheck();
    const text = await page.locator('#chosen').textContent();
    const [, chosen, landed, share, low, high] = /^([\d,]+) of .*; ([\d,]+) of them landed: ([\d.]+) % \(.* ([\d.]+) to ([\d.]+) %\)/.exec(
      text,
    );
    const [n, k] = [chosen, landed].map((digits) => Number(digits.replaceAll(',', '')));
    const { clopperPearson } = await import('../../dist/statistics/proportions/binomial.js');
    const interval = clopperPearson(k, n, 0.95);
    // Half of the last digit shown.
    [share / 100 - k / n, low / 100 - interval[0], high / 100 - interval[1]].forEach((miss) => {
      assert.ok(Math.abs(miss) <= 0.0005 + 1e-9, `${text}: off by ${miss}`);
    });
    await close();
  });

  test('with the keyboard alone', async () => {
    const { page, close } = await open(browser, pages.flown);
    const focused = () => page.evaluate(() => document.activeElement.closest('figure')?.id ?? '');
    for (let i = 0; i < 60 && (await focused()) !== 'map'; i++) await page.keyboard.press('Tab');
    assert.equal(await focused(), 'map');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    assert.match(await page.locator('#chosen').textContent(), /flights chosen/);
    assert.ok((await page.locator('#belief .flights > .off').count()) > 100);
    await page.keyboard.press('Enter');
    assert.match(await page.locator('#picked').textContent(), /^Flight \d+: .*alight trace/);
    await page.keyboard.press('Escape');
    assert.equal(await page.locator('.flights > .off').count(), 0);
    await page.fill('#flight-number', '17');
    await page.keyboard.press('Enter');
    assert.match(await page.locator('#picked').textContent(), /^Flight 17: /);
    await page.fill('#flight-number', '999999');
    await page.keyboard.press('Enter');
    assert.match(await page.locator('#picked').textContent(), /not among those/);
    await close();
  });
});

test('without script the page is whole, only still', async () => {
  const { page, complaints, close } = await open(browser, pages.flown, { javaScriptEnabled: false });
  assert.ok((await page.locator('figure svg.plot').count()) >= 8);
  assert.ok(await page.locator('.answer').isVisible());
  assert.deepEqual(complaints, []);
  await close();
});

test('a title that is markup stays a title', async () => {
  alight(
    place.folder,
    'fly',
    'thistledown.yaml',
    '--flights',
    '40',
    '--out',
    'odd',
    '--set',
    'title=</script><script>document.title="no"</script><img src=x onerror=alert(1)>',
  );
  alight(place.folder, 'report', 'odd');
  alight(place.folder, 'card', 'odd');
  for (const name of ['report.html', 'card.html']) {
    const { page, complaints, requests, close } = await open(browser, join(place.folder, 'odd', name));
    assert.match(await page.locator('h1').textContent(), /<\/script><script>/);
    assert.equal(await page.locator('img').count(), 0);
    assert.equal(requests.length, 1);
    assert.deepEqual(complaints, []);
    await close();
  }
});
