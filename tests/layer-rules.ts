/** The import rules of the tree, as functions over a list of files, so that they can be tried on made-up trees too. */
import ts from 'typescript';

export interface SourceFile {
  /** From the repository's root, with forward slashes. */
  readonly path: string;
  readonly text: string;
}

export interface Import {
  readonly from: string;
  readonly specifier: string;
  /** The file named, from the repository's root; null for a package. */
  readonly target: string | null;
  readonly typeOnly: boolean;
}

const SRC_ORDER = [
  'base',
  'signal',
  'analysis',
  'planning',
  'records',
  'simulation',
  'session',
  'terminal',
] as const;
const WEB_ORDER = [
  'wording',
  'contract.ts',
  'worker',
  'asking',
  'client.ts',
  'sound',
  'offline',
  'charts',
  'state',
  'parts',
  'places',
] as const;

function resolve(from: string, specifier: string): string | null {
  if (!specifier.startsWith('.')) return null;
  const parts = from.split('/').slice(0, -1);
  for (const part of (specifier.split('?')[0] ?? '').split('/')) {
    if (part === '..') parts.pop();
    else if (part !== '.') parts.push(part);
  }
  return parts.join('/');
}

/** The script of a Svelte file; other files as they are. */
function scriptOf(file: SourceFile): string {
  if (!file.path.endsWith('.svelte')) return file.text;
  return [...file.text.matchAll(/<script[^>]*>([\s\S]*?)<\/script>/g)].map((found) => found[1]).join('\n');
}

export function importsOf(file: SourceFile): Import[] {
  const found: Import[] = [];
  const note = (specifier: string, typeOnly: boolean) =>
    found.push({ from: file.path, specifier, target: resolve(file.path, specifier), typeOnly });
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
      note(node.moduleSpecifier.text, node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword);
    } else if (
      ts.isExportDeclaration(node) &&
      node.moduleSpecifier &&
      ts.isStringLiteral(node.moduleSpecifier)
    ) {
      note(node.moduleSpecifier.text, node.isTypeOnly);
    } else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) {
      if (ts.isStringLiteral(node.argument.literal)) note(node.argument.literal.text, true);
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const named = node.arguments[0];
      if (named && ts.isStringLiteralLike(named)) note(named.text, false);
    }
    ts.forEachChild(node, visit);
  };
  visit(ts.createSourceFile(file.path, scriptOf(file), ts.ScriptTarget.ESNext, true, ts.ScriptKind.TS));
  return found;
}

/** Place of a path in an order, e.g. 'src/signal/…' → 1; files directly in the folder stand last. */
function rank(order: readonly string[], path: string): number {
  const place = order.indexOf(path.split('/')[1] ?? '');
  return place === -1 ? order.length : place;
}

const isSrc = (path: string) => path.startsWith('src/');
const isWeb = (path: string) => path.startsWith('web/');
const isWorker = (path: string) => path.startsWith('web/worker/');
/** What the page may run from src; anything else it takes as types only, so that it stays out of the page's chunk. */
const pageMayRun = (path: string) =>
  (path.startsWith('src/base/') && !path.startsWith('src/base/statistics/')) ||
  path.startsWith('src/planning/');

const RULES: readonly ((found: Import & { readonly target: string }) => string | null)[] = [
  ({ from, target }) =>
    isSrc(from) && isSrc(target) && rank(SRC_ORDER, target) > rank(SRC_ORDER, from)
      ? 'src imports from folders above only'
      : null,
  ({ from, target }) => (isSrc(from) && isWeb(target) ? 'src never imports web' : null),
  ({ from, target, typeOnly }) =>
    isWeb(from) &&
    isWeb(target) &&
    !isWorker(from) &&
    !(target === 'web/contract.ts' && typeOnly) &&
    rank(WEB_ORDER, target) > rank(WEB_ORDER, from)
      ? 'web imports from folders above only'
      : null,
  ({ from, target }) =>
    isWeb(from) && !isWorker(from) && isWorker(target) ? 'the page never imports web/worker' : null,
  ({ from, target }) =>
    isWorker(from) && isWeb(target) && !isWorker(target) && target !== 'web/contract.ts'
      ? 'the worker shares only the contract with the page'
      : null,
  ({ from, target, typeOnly }) =>
    isWeb(from) && !isWorker(from) && isSrc(target) && !typeOnly && !pageMayRun(target)
      ? 'the page takes only types, src/base (without statistics) and src/planning from src'
      : null,
  ({ from, typeOnly }) => (from === 'web/contract.ts' && !typeOnly ? 'the contract is types only' : null),
  ({ from, target }) =>
    (isSrc(from) || isWeb(from)) && target.startsWith('tests/') ? 'nothing imports tests' : null,
  ({ from, target }) =>
    isSrc(from) && !from.startsWith('src/terminal/') && target.startsWith('src/terminal/')
      ? 'only the terminal commands import src/terminal'
      : null,
];

/** One line for each import that breaks a rule. */
export function brokenImports(files: readonly SourceFile[]): string[] {
  return files.flatMap(importsOf).flatMap((found) => {
    const { target } = found;
    if (target === null) return [];
    return RULES.flatMap((rule) => {
      const broken = rule({ ...found, target });
      return broken === null ? [] : [`${found.from} → ${target}: ${broken}`];
    });
  });
}

/** The database is named in web/worker/storage only, the distributions' library in one file only. */
export function misplacedNames(files: readonly SourceFile[]): string[] {
  return files.flatMap((file) => {
    const broken: string[] = [];
    if (/\bindexedDB\b|['"]idb['"]/.test(file.text) && !file.path.startsWith('web/worker/storage/')) {
      broken.push(`${file.path}: only web/worker/storage names the database`);
    }
    if (
      importsOf(file).some((found) => found.specifier.startsWith('@stdlib/')) &&
      file.path !== 'src/base/statistics/distributions.ts'
    ) {
      broken.push(`${file.path}: only src/base/statistics/distributions.ts imports @stdlib`);
    }
    return broken;
  });
}

/** Files over 300 lines whose first comment gives no reason for their length. */
export function tooLong(files: readonly SourceFile[], limit = 300): string[] {
  return files
    .filter((file) => {
      if (file.text.split('\n').length <= limit) return false;
      const first =
        /^\s*(?:<!--([\s\S]*?)-->|\/\*([\s\S]*?)\*\/|((?:\/\/[^\n]*\n)+))/.exec(file.text)?.[0] ?? '';
      return !/\b(long|length|lines)\b/i.test(first);
    })
    .map((file) => `${file.path}: ${file.text.split('\n').length} lines and no reason in its first comment`);
}
