/**
 * The codes of faults and notices that the sources of the program can give, read from the sources: the
 * value of a property `code`, and what is passed for a parameter of that name.
 */
import ts from "typescript";
import { filesIn, textOf } from "../files.js";

export interface UsedCode {
  readonly code: string;
  readonly path: string;
}

/** Every code in the files below src/. */
export function codesInSources(): readonly UsedCode[] {
  const sources = filesIn(["src"], /\.ts$/).map((path) => ({ path, tree: treeOf(path, textOf(path)) }));
  const takers = new Map(sources.flatMap(({ tree }) => takersIn(tree)));
  return sources.flatMap(({ path, tree }) => codesIn(tree, takers).map((code) => ({ code, path })));
}

/** Codes of one text, with functions of the same text alone. */
export function codesInText(text: string): readonly string[] {
  const tree = treeOf("a.ts", text);
  return codesIn(tree, new Map(takersIn(tree)));
}

function treeOf(path: string, text: string): ts.SourceFile {
  return ts.createSourceFile(path, text, ts.ScriptTarget.ES2022);
}

/** Functions that take a code: name, and which of the arguments it is. */
function takersIn(tree: ts.SourceFile): readonly (readonly [string, number])[] {
  const found: (readonly [string, number])[] = [];
  const visit = (node: ts.Node): void => {
    const name = nameOfFunction(node);
    if (name !== undefined && ts.isFunctionLike(node)) {
      const index = node.parameters.findIndex((one) => ts.isIdentifier(one.name) && one.name.text === "code");
      if (index >= 0) found.push([name, index]);
    }
    ts.forEachChild(node, (child) => {
      if (ts.isVariableDeclaration(node) && ts.isIdentifier(node.name) && ts.isArrowFunction(child)) {
        const index = child.parameters.findIndex(
          (one) => ts.isIdentifier(one.name) && one.name.text === "code",
        );
        if (index >= 0) found.push([node.name.text, index]);
      }
      visit(child);
    });
  };
  visit(tree);
  return found;
}

function nameOfFunction(node: ts.Node): string | undefined {
  const isNamed = ts.isFunctionDeclaration(node) || ts.isMethodDeclaration(node);
  return isNamed && node.name !== undefined && ts.isIdentifier(node.name) ? node.name.text : undefined;
}

function codesIn(tree: ts.SourceFile, takers: ReadonlyMap<string, number>): readonly string[] {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAssignment(node) && ts.isIdentifier(node.name) && node.name.text === "code")
      found.push(...literalsOf(node.initializer));
    if (ts.isCallExpression(node)) {
      const callee = ts.isPropertyAccessExpression(node.expression) ? node.expression.name : node.expression;
      const index = ts.isIdentifier(callee) ? takers.get(callee.text) : undefined;
      const given = index === undefined ? undefined : node.arguments[index];
      if (given !== undefined) found.push(...literalsOf(given));
    }
    ts.forEachChild(node, visit);
  };
  visit(tree);
  return found.filter((code) => /^[a-z0-9]+(-[a-z0-9]+)*$/.test(code));
}

/** The texts that an expression can be: itself, or the two ways of a choice. */
function literalsOf(node: ts.Expression): readonly string[] {
  if (ts.isStringLiteralLike(node)) return [node.text];
  if (ts.isConditionalExpression(node)) return [...literalsOf(node.whenTrue), ...literalsOf(node.whenFalse)];
  if (ts.isBinaryExpression(node)) return [...literalsOf(node.left), ...literalsOf(node.right)];
  return [];
}
