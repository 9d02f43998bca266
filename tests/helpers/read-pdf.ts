/** A PDF as an independent reader sees it: pdf.js, Mozilla's, of its own code base. */
import { getDocument, OPS, type PDFDocumentProxy } from 'pdfjs-dist/legacy/build/pdf.mjs';

export interface ReadPdf {
  readonly pages: readonly ReadPage[];
  /** Text of all pages, lines joined by spaces. */
  readonly text: string;
  readonly info: Record<string, unknown>;
  readonly fonts: readonly { readonly name: string; readonly embedded: boolean }[];
  readonly language: string | null;
  /** Roles of the structure tree, in reading order. */
  readonly roles: readonly string[];
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
  return {
    pages,
    text: pages.map(page => page.text).join(' '),
    info,
    fonts: (await Promise.all(numbers.map(number => fontsOf(document, number)))).flat(),
    language: (info['Language'] as string | null) ?? null,
    roles: (await Promise.all(numbers.map(number => rolesOf(document, number)))).flat(),
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

async function rolesOf(document: PDFDocumentProxy, number: number): Promise<string[]> {
  const page = await document.getPage(number);
  const walk = (node: Node): string[] => [
    ...(node.role === undefined ? [] : [node.role]),
    ...(node.children ?? []).flatMap(walk),
  ];
  return walk((await page.getStructTree()) as unknown as Node);
}
