/** A PDF as an independent reader sees it: pdf.js, Mozilla's, of its own code base. */
import { getDocument, OPS, type PDFDocumentProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { expect } from 'vitest';

export interface ReadPdf {
  readonly pages: readonly ReadPage[];
  /** Text of all pages, lines joined by spaces. */
  readonly text: string;
  readonly info: Record<string, unknown>;
  readonly fonts: readonly { readonly name: string; readonly embedded: boolean }[];
  readonly language: string | null;
  /** Roles of the structure tree, in reading order. */
  readonly roles: readonly string[];
  /** Descriptions of the figures. */
  readonly figures: readonly string[];
}

export interface ReadPage {
  readonly width: number;
  readonly height: number;
  readonly text: string;
  readonly items: readonly {
    readonly text: string;
    readonly x: number;
    readonly y: number;
    readonly width: number;
  }[];
}

interface Node {
  role?: string;
  alt?: string;
  children?: Node[];
}

export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const document = await getDocument({
    data: Uint8Array.from(bytes),
    verbosity: 0,
    fontExtraProperties: true,
  }).promise;
  const numbers = Array.from({ length: document.numPages }, (_, index) => index + 1);
  const pages = await Promise.all(numbers.map(number => readPage(document, number)));
  const { info } = (await document.getMetadata()) as unknown as {
    info: Record<string, unknown>;
  };
  const nodes = (await Promise.all(numbers.map(number => nodesOf(document, number)))).flat();
  return {
    pages,
    text: pages.map(page => page.text).join(' '),
    info,
    fonts: (await Promise.all(numbers.map(number => fontsOf(document, number)))).flat(),
    language: (info['Language'] as string | null) ?? null,
    roles: nodes.flatMap(({ role }) => (role === undefined ? [] : [role])),
    figures: nodes.flatMap(({ alt }) => (alt === undefined ? [] : [alt])),
  };
}

async function readPage(document: PDFDocumentProxy, number: number): Promise<ReadPage> {
  const page = await document.getPage(number);
  const { width, height } = page.getViewport({ scale: 1 });
  const { items } = await page.getTextContent();
  const texts = items.flatMap(item =>
    'str' in item && item.str.trim() !== ''
      ? [
          {
            text: item.str,
            x: (item.transform as number[])[4]!,
            y: (item.transform as number[])[5]!,
            width: item.width,
          },
        ]
      : [],
  );
  return { width, height, items: texts, text: texts.map(({ text }) => text).join(' ') };
}

async function fontsOf(
  document: PDFDocumentProxy,
  number: number,
): Promise<{ name: string; embedded: boolean }[]> {
  const page = await document.getPage(number);
  const { fnArray, argsArray } = await page.getOperatorList();
  const used = new Set(
    fnArray.flatMap((operation, index) =>
      operation === OPS.setFont ? [(argsArray[index] as [string])[0]] : [],
    ),
  );
  return [...used].map(id => {
    const font = page.commonObjs.get(id) as { name: string; missingFile?: boolean };
    return { name: font.name, embedded: font.missingFile !== true };
  });
}

async function nodesOf(document: PDFDocumentProxy, number: number): Promise<Node[]> {
  const page = await document.getPage(number);
  const walk = (node: Node): Node[] => [node, ...(node.children ?? []).flatMap(walk)];
  return walk((await page.getStructTree()) as unknown as Node);
}

/** The room every printer leaves, in points: 10 mm. */
const PRINTABLE_MARGIN = 28;

/** No line leaves the printable part of its page, and none lies on another. */
export function expectWholeLines({ pages }: ReadPdf): void {
  for (const { items, width, height } of pages) {
    expect(items.length).toBeGreaterThan(3);
    for (const { text, x, y, width: textWidth } of items) {
      expect(x, text).toBeGreaterThanOrEqual(PRINTABLE_MARGIN);
      expect(x + textWidth, text).toBeLessThanOrEqual(width - PRINTABLE_MARGIN);
      expect(y, text).toBeGreaterThanOrEqual(PRINTABLE_MARGIN);
      expect(y, text).toBeLessThanOrEqual(height - PRINTABLE_MARGIN / 2);
    }
    for (const [index, one] of items.entries()) {
      for (const other of items.slice(index + 1)) {
        const shared =
          Math.min(one.x + one.width, other.x + other.width) - Math.max(one.x, other.x);
        if (shared < SHARED_WIDTH) continue;
        const apart = Math.abs(one.y - other.y);
        expect(apart, `${one.text} / ${other.text}`).toBeGreaterThan(LEAST_LINE_DISTANCE);
      }
    }
  }
}

/** Pieces of one line meet within rounding, in points. */
const SHARED_WIDTH = 1.5;

/** Baselines of the smallest type are further apart than this, in points. */
const LEAST_LINE_DISTANCE = 9;

/** Letters alone, in one form for each: a reader may give spaces, and forms of a letter, of its own. */
export const letters = (text: string): string =>
  text
    .normalize('NFKC')
    // Brackets and quotes of a language from right to left are drawn turned round.
    .replace(/[\s()«»\u200e\u200f]/gu, '');
