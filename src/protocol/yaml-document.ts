/**
 * YAML text as plain values that know their line.
 *
 * YAML 1.2 (yaml.org/spec/1.2.2), core schema: `2027-01-31` and `yes` stay text. What a settings file
 * never needs is refused: several documents, custom tags, deep nesting, aliases that unfold without end.
 *
 * @module
 */
import {
  CST,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  Lexer,
  LineCounter,
  type Node,
  parseDocument,
  type YAMLError,
} from 'yaml';
import { type Problem, UserError, type UserErrorCode } from '../errors.js';
import { printable } from './quote.js';

export interface YamlDocument {
  /** Plain objects, arrays, text, numbers, booleans and null; `undefined` when the file holds nothing. */
  readonly value: unknown;
  /**
   * Place of a value: `study.yaml:12 scans[1].EchoTime`. For a path that the text does not hold, the
   * line is that of the nearest part that it does hold.
   */
  readonly where: (path: readonly (string | number)[]) => string;
}

/** Deepest nesting accepted; a study file needs four levels. */
const MAX_DEPTH = 20;

/** Most values accepted, aliases unfolded; a study of 100 scans has about 2500. */
const MAX_VALUES = 100_000;

/** Most tokens accepted before parsing, so that a wrong file is refused in a second. */
const MAX_TOKENS = 600_000;

/** Widest indentation accepted, in spaces: far more than 20 levels of what people write. */
const MAX_INDENT = 200;

/** Most syntax errors listed; the later ones mostly follow from the first. */
const MAX_SYNTAX_PROBLEMS = 5;

/**
 * Parses YAML.
 *
 * @param text - The file's text; a byte-order mark and Windows line ends are fine.
 * @param fileName - Name for messages.
 * @param code - Code of the error that is thrown.
 * @throws {UserError} The text is not YAML, or is refused as described above.
 */
export function parseYaml(
  text: string,
  fileName: string,
  code: UserErrorCode = 'BAD_STUDY',
): YamlDocument {
  const source = text.startsWith('\uFEFF') ? text.slice(1) : text;
  const lines = new LineCounter();
  const fail = (problems: readonly Problem[]): never => {
    throw new UserError(code, `${fileName} is not a YAML file that can be read.`, problems);
  };
  const lineAt = (offset: number): number => Math.max(1, lines.linePos(offset).line);
  const problemAt = (offset: number | undefined, parts: Omit<Problem, 'where'>): Problem => ({
    where: offset === undefined ? fileName : `${fileName}:${lineAt(offset)}`,
    ...parts,
  });

  if (/[\0-\x08\x0e-\x1f]/.test(source)) return fail([{ where: fileName, ...NOT_TEXT }]);
  const tooMuch = refuseBeforeParsing(source);
  if (tooMuch !== undefined) return fail([{ where: fileName, ...tooMuch }]);
  const document = parseDocument(source, { lineCounter: lines, prettyErrors: false });
  const errors = [...document.errors, ...document.warnings];
  if (errors.length > 0) {
    return fail(
      errors
        .slice(0, MAX_SYNTAX_PROBLEMS)
        .map(error => problemAt(error.pos[0], explainSyntax(error))),
    );
  }

  const offsets = new Map<string, number>();
  let value: unknown;
  try {
    value = new Unfolding(document, offsets).value(document.contents, []);
  } catch (error) {
    if (error instanceof Refused) return fail([problemAt(error.offset, error.reason)]);
    throw error;
  }
  return {
    value,
    where: path => `${fileName}:${lineAt(nearestOffset(offsets, path))}${formatPath(path)}`,
  };
}

/** A path as it is printed: ` scans[1].EchoTime`, with the space before it; empty for the whole. */
function formatPath(path: readonly (string | number)[]): string {
  const text = path
    .map((part, i) =>
      typeof part === 'number' ? `[${part}]` : `${i === 0 ? '' : '.'}${printable(part)}`,
    )
    .join('');
  return text === '' ? '' : ` ${text}`;
}

type Reason = Omit<Problem, 'where'>;

const NOT_TEXT: Reason = {
  found: 'control characters, as in a binary file',
  allowed: 'plain text',
  fix: 'Save the file as plain UTF-8 text.',
};

const TOO_DEEP: Reason = {
  found: `more than ${MAX_DEPTH} levels inside one another`,
  allowed: `at most ${MAX_DEPTH} levels`,
  fix: 'Write the file as the example study does.',
};

const TOO_LARGE: Reason = {
  found: `more than ${MAX_VALUES} values, with aliases (*name) unfolded`,
  allowed: `at most ${MAX_VALUES} values`,
  fix: 'Check that this is the study file; write values out instead of using aliases.',
};

const ENDLESS: Reason = {
  found: 'an alias (*name) of a part that it stands in itself',
  allowed: 'an alias of a part that is complete before it',
  fix: 'Write the values out instead of the alias.',
};

const UNKNOWN_ALIAS: Reason = {
  found: 'an alias (*name) whose anchor (&name) does not come before it',
  allowed: 'an alias of an anchor that stands above it',
  fix: 'Write the value out; put it in quotes if it is text that starts with *.',
};

const KEY_NOT_TEXT: Reason = {
  found: 'a list or mapping as a key',
  allowed: 'a word as a key',
  fix: 'Put the key in quotes if it is text.',
};

/** Ends the unfolding. */
class Refused extends Error {
  readonly offset: number | undefined;

  constructor(
    readonly reason: Reason,
    node: Node | null,
  ) {
    super(reason.found);
    this.offset = node?.range?.[0];
  }
}

/** Turns nodes into plain values and notes where each stands. */
class Unfolding {
  private count = 0;
  private readonly open = new Set<Node>();

  constructor(
    private readonly document: Document,
    private readonly offsets: Map<string, number>,
  ) {}

  value(node: Node | null, path: readonly (string | number)[]): unknown {
    if (++this.count > MAX_VALUES) throw new Refused(TOO_LARGE, node);
    if (path.length > MAX_DEPTH) throw new Refused(TOO_DEEP, node);
    this.note(path, node);
    if (node === null) return path.length === 0 ? undefined : null;
    if (this.open.has(node)) throw new Refused(ENDLESS, node);
    this.open.add(node);
    const value = this.plain(node, path);
    this.open.delete(node);
    return value;
  }

  private plain(node: Node, path: readonly (string | number)[]): unknown {
    if (isAlias(node)) {
      const target = node.resolve(this.document);
      if (target === undefined) throw new Refused(UNKNOWN_ALIAS, node);
      return this.value(target, path);
    }
    if (isSeq(node)) return node.items.map((item, i) => this.value(item as Node, [...path, i]));
    if (!isMap(node)) return isScalar(node) ? node.value : undefined;
    const entries: [string, unknown][] = [];
    for (const { key, value } of node.items) {
      if (!isScalar(key)) throw new Refused(KEY_NOT_TEXT, node);
      const name = String(key.value);
      this.note([...path, name], key);
      entries.push([name, this.value(value as Node | null, [...path, name])]);
    }
    // Not an assignment: a key named __proto__ is a key like any other.
    return Object.fromEntries(entries);
  }

  /** Keeps the first place of a path: that of its key, not of its value. */
  private note(path: readonly (string | number)[], node: Node | null): void {
    const id = JSON.stringify(path);
    const offset = node?.range?.[0];
    if (offset !== undefined && !this.offsets.has(id)) this.offsets.set(id, offset);
  }
}

function nearestOffset(
  offsets: ReadonlyMap<string, number>,
  path: readonly (string | number)[],
): number {
  for (let length = path.length; length >= 0; length--) {
    const offset = offsets.get(JSON.stringify(path.slice(0, length)));
    if (offset !== undefined) return offset;
  }
  return 0;
}

/**
 * Refuses text that nests deeper or is longer than is read. Asked before parsing, since the parser
 * calls itself for every level and would run out of stack.
 */
function refuseBeforeParsing(source: string): Reason | undefined {
  let tokens = 0;
  /** Open brackets and braces. */
  let flow = 0;
  /** Indicators (`-`, `?`, `:`) so far on this line: each may open a level. */
  let onLine = 0;
  for (const token of new Lexer().lex(source)) {
    if (++tokens > MAX_TOKENS) return TOO_LARGE;
    switch (CST.tokenType(token)) {
      case 'flow-seq-start':
      case 'flow-map-start':
        flow++;
        break;
      case 'flow-seq-end':
      case 'flow-map-end':
        flow--;
        break;
      case 'seq-item-ind':
      case 'explicit-key-ind':
      case 'map-value-ind':
        onLine++;
        break;
      case 'newline':
        onLine = 0;
        break;
      case 'space':
        if (onLine === 0 && flow === 0 && token.length > MAX_INDENT) return TOO_DEEP;
        break;
      default:
    }
    if (flow > MAX_DEPTH || (onLine > MAX_DEPTH && flow === 0)) return TOO_DEEP;
  }
  return undefined;
}

function explainSyntax(error: YAMLError): Reason {
  const found = printable(error.message.replace(/[.:]$/, ''));
  switch (error.code) {
    case 'TAB_AS_INDENT':
      return {
        found: 'a tab at the start of a line',
        allowed: 'spaces',
        fix: 'Replace tabs with spaces.',
      };
    case 'DUPLICATE_KEY':
      return {
        found: 'the same key a second time',
        allowed: 'each key once',
        fix: 'Remove one of the two; if each was meant for a scan of its own, start the scan with "- name:".',
      };
    case 'MULTIPLE_DOCS':
      return {
        found: 'a second document after ---',
        allowed: 'one document',
        fix: 'Remove the line --- and what follows it, or make it a file of its own.',
      };
    case 'TAG_RESOLVE_FAILED':
      return {
        found,
        allowed: 'values without a tag (!name)',
        fix: 'Remove the tag; put the value in quotes if it is text that starts with !.',
      };
    case 'MISSING_CHAR':
      return { found, allowed: 'quotes and brackets in pairs', fix: 'Add what is missing.' };
    default:
      return {
        found,
        allowed: 'YAML: "key: value", lists with "- ", spaces to indent',
        fix: 'Compare the line with the example study; text with : or # in it needs quotes.',
      };
  }
}
