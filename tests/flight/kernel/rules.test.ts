/**
 * How kernel code must be written, where a compiler would let a mistake through: whole numbers divide to whole numbers
 * in one of the two builds, and only there. Looks at every file that the kernel is made of.
 */
import { readFileSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { compile } from '../../../src/flight/kernel/build.mjs';

const { files, text } = await compile(undefined, ['-O0', '--textFile', 'kernel.wat']);
const root = new URL('../../../', import.meta.url);

/** Places of a source where whole numbers are divided, or anything raised with `**`. */
function integerDivisions(source: ts.SourceFile): string[] {
  const found: string[] = [];
  const constants = new Map<string, ts.Expression>();
  for (const statement of source.statements) {
    if (!ts.isVariableStatement(statement)) continue;
    for (const { name, initializer } of statement.declarationList.declarations) {
      if (ts.isIdentifier(name) && initializer) constants.set(name.text, initializer);
    }
  }
  const whole = (node: ts.Expression): boolean => {
    if (ts.isNumericLiteral(node)) return !/[.eE]/.test(node.getText(source)) || /^0x/i.test(node.getText(source));
    if (ts.isParenthesizedExpression(node)) return whole(node.expression);
    if (ts.isPrefixUnaryExpression(node)) return whole(node.operand);
    if (ts.isAsExpression(node)) return node.type.getText(source) === 'i32';
    if (ts.isIdentifier(node)) return constants.has(node.text) && whole(constants.get(node.text) as ts.Expression);
    if (ts.isBinaryExpression(node)) return whole(node.left) && whole(node.right);
    return false;
  };
  const visit = (node: ts.Node): void => {
    if (ts.isBinaryExpression(node)) {
      const operator = node.operatorToken.kind;
      const divides = operator === ts.SyntaxKind.SlashToken || operator === ts.SyntaxKind.SlashEqualsToken;
      if ((divides && whole(node.left) && whole(node.right)) || operator === ts.SyntaxKind.AsteriskAsteriskToken) {
        found.push(`${source.fileName}:${source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1}: ${node.getText(source)}`);
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const parsed = (name: string, code: string): ts.SourceFile => ts.createSourceFile(name, code, ts.ScriptTarget.ES2022, true);

it('one file has a statement of asc’s own', () => {
  const own = files.filter((file) => /^ *\/\/ asc: /m.test(readFileSync(new URL(file, root), 'utf8')));
  expect(own).toEqual(['src/maths/elementary/powersOfTwo.ts']);
});

describe('no whole number is divided', () => {
  it.each(files.map((file) => [file]))('in %s', (file) => {
    expect(integerDivisions(parsed(file, readFileSync(new URL(file, root), 'utf8')))).toEqual([]);
  });

  it('the check sees what it is for', () => {
    const bad = [
      'const A = 1 / 3;',
      'const N = 64; const A = N / 2;',
      'const A = 2 ** -33;',
      'const A = (k as i32) / 2;',
      'x = -(1 + 2) / 4;',
    ];
    for (const code of bad) expect(integerDivisions(parsed('a.ts', code)), code).toHaveLength(1);
    for (const code of ['const A = 1.0 / 3.0;', 'y = 1 / x;', 'const N = 64.0; y = N / 2;'])
      expect(integerDivisions(parsed('a.ts', code)), code).toEqual([]);
  });

  it('nor in what asc made of them', () => {
    const functions = text.split('\n (func ').filter((body) => body.startsWith('$src/'));
    expect(functions.length).toBeGreaterThan(100);
    const dividing = functions.filter((body) => /i(32|64)\.(div|rem)_/.test(body)).map((body) => body.slice(0, body.indexOf(' ')));
    expect(dividing).toEqual([]);
  });
});

it('the kernel allocates nothing in flight: what it makes it makes once, or where a longer array is asked for', () => {
  const functions = text.split('\n (func ').filter((body) => body.startsWith('$src/'));
  const making = functions
    .filter((body) => /call \$~lib\/(rt\/\w+\/__new|typedarray\/Float64Array#constructor|arraybuffer\/)/.test(body))
    .map((body) => body.slice(1, body.indexOf(' ')).replace(/\)$/, ''));
  expect(making.length).toBeGreaterThan(10);
  const allowed = /#constructor$|\/newNumbers$|FlightComputer#reset$|^src\/.*\/(start|start:)/;
  expect(making.filter((name) => !allowed.test(name))).toEqual([]);
});
