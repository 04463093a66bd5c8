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
    const [name, parameters] = functionIn(node);
    const index = parameters.findIndex((one) => ts.isIdentifier(one.name) && one.name.text === "code");
    if (name !== undefined && index >= 0) found.push([name, index]);
    ts.forEachChild(node, visit);
  };
  visit(tree);
  return found;
}

/** Name and parameters of a function, a method, or a constant that is a function. */
function functionIn(node: ts.Node): readonly [string | undefined, readonly ts.ParameterDeclaration[]] {
  if (ts.isFunctionDeclaration(node) || ts.isMethodDeclaration(node))
    return [nameOf(node.name), node.parameters];
  const value = ts.isVariableDeclaration(node) ? node.initializer : undefined;
  return ts.isVariableDeclaration(node) && value !== undefined && ts.isArrowFunction(value)
    ? [nameOf(node.name), value.parameters]
    : [undefined, []];
}

function nameOf(node: ts.Node | undefined): string | undefined {
  return node !== undefined && (ts.isIdentifier(node) || ts.isPrivateIdentifier(node))
    ? node.text
    : undefined;
}

function codesIn(tree: ts.SourceFile, takers: ReadonlyMap<string, number>): readonly string[] {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAssignment(node) && ts.isIdentifier(node.name) && node.name.text === "code")
      found.push(...literalsOf(node.initializer));
    if (ts.isCallExpression(node)) {
      const callee = ts.isPropertyAccessExpression(node.expression) ? node.expression.name : node.expression;
      const index = takers.get(nameOf(callee) ?? "");
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
