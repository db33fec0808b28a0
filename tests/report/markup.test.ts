import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { escaped, htmlTable, scriptCode, scriptJson } from '../../src/report/markup.ts';
import { shellWord, traceCommand } from '../../src/report/traceCommand.ts';

const NASTY = `</script><b a="1" c='2'>&amp;</b><!-- \u2028`;

describe('text that looks like markup', () => {
  test('comes out of an element as it went in', () => {
    const { document } = parseHTML(`<p id="p" title="${escaped(NASTY)}">${escaped(NASTY)}</p>`);
    const p = document.querySelector('#p');
    expect(p?.textContent).toBe(NASTY);
    expect(p?.getAttribute('title')).toBe(NASTY);
    expect(p?.children.length).toBe(0);
  });

  test('comes out of a table as it went in', () => {
    const { document } = parseHTML(htmlTable(NASTY, [{ head: NASTY }, { head: 'b' }], [[NASTY, NASTY]], NASTY));
    expect([...document.querySelectorAll('caption, thead th:first-child, tbody th, tbody td')].map((e) => e.textContent)).toEqual([
      NASTY,
      NASTY,
      NASTY,
      NASTY,
    ]);
  });

  test('as JSON cannot end its script, and reads back', () => {
    const text = scriptJson({ title: NASTY });
    expect(text).not.toMatch(/[<>&\u2028]/);
    expect(JSON.parse(text)).toEqual({ title: NASTY });
  });

  test('as code is refused when it would end its script', () => {
    expect(scriptCode('if (a < b) f();')).toBe('if (a < b) f();');
    expect(() => scriptCode('f("</SCRIPT>")')).toThrow(RangeError);
    expect(() => scriptCode('f("<!--")')).toThrow(RangeError);
  });
});

describe('the command that flies a flight again', () => {
  test('stands as it is where a shell takes it so', () => {
    expect(traceCommand('results/study.yaml', 17, 'fixed-height')).toBe('alight trace results/study.yaml 17 --rule fixed-height');
  });

  test('quotes what a shell would split or run', () => {
    expect(shellWord('my results/study.yaml')).toBe("'my results/study.yaml'");
    expect(shellWord("it's $(x)")).toBe("'it'\\''s $(x)'");
    expect(shellWord('')).toBe("''");
  });
});
