/**
 * Sets text for a PDF: breaks it into lines, orders both directions (Unicode bidirectional
 * algorithm, UAX 9, by bidi-js), and takes each character from the first face that has it.
 *
 * A character that no face has is left out: a name keeps its readable letters, and no empty box is
 * printed.
 *
 * @module
 */
import bidiFactory, { type Bidi } from 'bidi-js';
import type PDFDocument from 'pdfkit';
import { openTypeFromWoff } from '../../../formats/woff.js';
import type { DocumentFonts } from '../document-fonts.js';

export interface TextStyle {
  /** In points. */
  readonly size: number;
  readonly bold?: boolean;
  readonly colour?: string;
}

/** A stretch of one direction and one face. */
interface Run {
  readonly text: string;
  readonly font: string;
  /** Distance from the line's left end, in points. */
  readonly x: number;
  readonly width: number;
  readonly rightToLeft: boolean;
}

/** One line, its runs in the order of reading, so that they are read so from the file too. */
export interface Line {
  readonly runs: readonly Run[];
  /** In points. */
  readonly width: number;
}

/** Distance between two baselines, in font sizes. */
const LINE_HEIGHT = 1.33;

/** Height of the baseline in a line, from the line's top, in font sizes. */
const BASELINE = 1.02;

/** Arabic letters, which the shaper of the PDF library lays out from right to left by itself. */
const ARABIC = /\p{Script=Arabic}/u;

/** Scripts that go from right to left, and marks that say so (Unicode 15, DerivedBidiClass R and AL). */
const RIGHT_TO_LEFT =
  /[\u0590-\u08ff\u200f\ufb1d-\ufdff\ufe70-\ufeff\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/**
 * Controls, and marks that embed or override direction: names must not carry them into a document.
 * Marks that only say left or right (U+200E, U+200F) and joiners may stay.
 */
const STEERING = /[\p{Cc}\u200b\u2028\u2029\u202a-\u202e\u2060-\u206f\ufeff]+/gu;

/** The package's declarations are read as CommonJS here, so its default export is not seen to be callable. */
const bidi = (bidiFactory as unknown as () => Bidi)();

const graphemes = new Intl.Segmenter(undefined, { granularity: 'grapheme' });

export class TypeSetter {
  private readonly faces: readonly Face[];
  private readonly known: Known;

  constructor(
    private readonly doc: InstanceType<typeof PDFDocument>,
    fonts: DocumentFonts,
    readonly direction: 'ltr' | 'rtl',
  ) {
    this.known = knownOf(fonts, doc);
    this.faces = this.known.faces;
    for (const { name, regular, bold } of this.faces) {
      doc.registerFont(`${name} regular`, regular);
      doc.registerFont(`${name} bold`, bold);
    }
  }

  /**
   * Text as lines no wider than `width` points, at most `most` of them: what is too much ends in an
   * ellipsis. A word that is wider than a line is broken.
   */
  lines(text: string, style: TextStyle, width: number, most = Infinity): readonly Line[] {
    const words = plainText(text).split(' ');
    const space = this.widthOf(' ', style);
    const lines: string[][] = [[]];
    let lineWidth = 0;
    for (const word of words.flatMap(word => this.brokenWord(word, style, width))) {
      const wordWidth = this.widthOf(word, style);
      const line = lines.at(-1)!;
      if (line.length > 0 && lineWidth + space + wordWidth > width) {
        lines.push([word]);
        lineWidth = wordWidth;
      } else {
        lineWidth += (line.length > 0 ? space : 0) + wordWidth;
        line.push(word);
      }
    }
    const whole = lines.slice(0, most - 1).map(line => this.line(line.join(' '), style));
    const rest = lines
      .slice(most - 1)
      .flat()
      .join(' ');
    return lines.length <= most
      ? lines.map(line => this.line(line.join(' '), style))
      : [...whole, this.oneLine(rest, style, width)];
  }

  /** Text on one line, cut with an ellipsis where it is wider than `width` points. */
  oneLine(text: string, style: TextStyle, width: number): Line {
    const whole = plainText(text);
    if (this.widthOf(whole, style) <= width) return this.line(whole, style);
    const characters = charactersOf(whole);
    while (characters.length > 0 && this.widthOf(`${characters.join('')}…`, style) > width) {
      characters.splice(Math.ceil(characters.length * 0.95) - 1);
    }
    return this.line(`${characters.join('').trimEnd()}…`, style);
  }

  /** A style so small that a text takes one line of `width` points; no smaller than `smallest` points. */
  fitted(text: string, style: TextStyle, width: number, smallest = 1): TextStyle {
    const share = width / Math.max(1, this.widthOf(plainText(text), style));
    // A hair less, so that rounding cuts nothing.
    return share >= 1 ? style : { ...style, size: Math.max(smallest, 0.995 * share * style.size) };
  }

  /** Draws a line with its top left corner at `x`, `y`. */
  draw(line: Line, style: TextStyle, x: number, y: number): void {
    this.doc.fontSize(style.size).fillColor(style.colour ?? '#000');
    for (const run of line.runs) {
      this.doc.font(run.font).text(run.text, x + run.x, y + BASELINE * style.size, {
        lineBreak: false,
        baseline: 'alphabetic',
        ...shaping(run.rightToLeft),
      });
    }
  }

  /**
   * To be called when all is drawn. Readers turn what goes from right to left round, letter by letter,
   * those of a ligature too: the file names these as they are seen, so that they are read as spelt.
   */
  nameLigatures(): void {
    for (const { name } of this.faces) {
      for (const weight of ['regular', 'bold']) {
        this.doc.font(`${name} ${weight}`);
        const { unicode } = fontOf(this.doc);
        for (const [glyph, letters = []] of unicode.entries()) {
          if (ARABIC.test(String.fromCodePoint(...letters))) unicode[glyph] = letters.toReversed();
        }
      }
    }
  }

  lineHeight(style: TextStyle): number {
    return LINE_HEIGHT * style.size;
  }

  widthOf(text: string, style: TextStyle): number {
    return this.pointLine(text, style).width * style.size;
  }

  private line(text: string, style: TextStyle): Line {
    const { size } = style;
    const { runs, width } = this.pointLine(text, style);
    return {
      width: width * size,
      runs: runs.map(run => ({ ...run, x: run.x * size, width: run.width * size })),
    };
  }

  /** A line in type of one point, remembered: the same words stand in many cells, and every size. */
  private pointLine(text: string, { bold = false }: TextStyle): Line {
    const key = `${this.direction} ${String(bold)} ${text}`;
    let line = this.known.lines.get(key);
    if (line === undefined) {
      const runs = this.runsOf(text, { size: 1, bold });
      line = { runs, width: runs.reduce((sum, run) => sum + run.width, 0) };
      if (this.known.lines.size >= MOST_LINES) this.known.lines.clear();
      this.known.lines.set(key, line);
    }
    return line;
  }

  private runsOf(text: string, style: TextStyle): Run[] {
    if (this.direction === 'ltr' && !RIGHT_TO_LEFT.test(text)) return this.plainRuns(text, style);
    const embedding = bidi.getEmbeddingLevels(text, this.direction);
    const mirrored = bidi.getMirroredCharactersMap(text, embedding.levels);
    const fonts = this.fontsOf(text, style);
    const pieces: { indices: number[]; font: string; level: number }[] = [];
    for (const index of bidi.getReorderedIndices(text, embedding)) {
      const font = fonts[index];
      if (font === undefined) continue;
      const level = embedding.levels[index]!;
      const last = pieces.at(-1);
      if (last?.font === font && last.level === level) last.indices.push(index);
      else pieces.push({ indices: [index], font, level });
    }
    let x = 0;
    const runs = pieces.map(({ indices, font, level }) => {
      const rightToLeft = level % 2 === 1;
      const visual = indices.map(index => mirrored.get(index) ?? text[index]!);
      // Arabic goes to the shaper as it is spelt; anything else as it is seen.
      const spelt = rightToLeft ? [...visual].reverse() : visual;
      const runText = (rightToLeft && ARABIC.test(spelt.join('')) ? spelt : visual).join('');
      const width = this.measure(runText, font, style, rightToLeft);
      x += width;
      return { start: Math.min(...indices), text: runText, font, rightToLeft, width, x: x - width };
    });
    return runs.sort((a, b) => a.start - b.start);
  }

  /**
   * The face of each character, by its index; undefined where no face has it. Spaces and signs go with
   * the letters before them where that face has them, so that words of one script stay one run.
   */
  private fontsOf(text: string, style: TextStyle): readonly (string | undefined)[] {
    const fonts: (string | undefined)[] = [];
    for (let index = 0; index < text.length; index++) {
      const before = fonts[index - 1];
      const isSign = !/[\p{L}\p{N}\uD800-\uDFFF]/u.test(text[index]!);
      const face = this.faces.find(({ name }) => before?.startsWith(`${name} `));
      fonts.push(
        isSign && face?.has(text.codePointAt(index)!) === true
          ? before
          : this.fontFor(text, index, style),
      );
    }
    return fonts;
  }

  /** Runs of a text in which everything goes from left to right. */
  private plainRuns(text: string, style: TextStyle): Run[] {
    const runs: { text: string; font: string }[] = [];
    for (let index = 0; index < text.length; index++) {
      const font = this.fontFor(text, index, style);
      if (font === undefined) continue;
      const last = runs.at(-1);
      if (last?.font === font) last.text += text[index]!;
      else runs.push({ text: text[index]!, font });
    }
    let x = 0;
    return runs.map(run => {
      const width = this.measure(run.text, run.font, style, false);
      x += width;
      return { ...run, rightToLeft: false, width, x: x - width };
    });
  }

  /** The name of the face for the character at an index; surrogates share that of their pair. */
  private fontFor(text: string, index: number, style: TextStyle): string | undefined {
    const isLow = /[\uDC00-\uDFFF]/.test(text[index]!);
    const code = text.codePointAt(isLow ? index - 1 : index)!;
    const face = this.faces.find(({ has }) => has(code));
    return face && `${face.name} ${style.bold === true ? 'bold' : 'regular'}`;
  }

  private brokenWord(word: string, style: TextStyle, width: number): string[] {
    if (this.widthOf(word, style) <= width) return [word];
    const pieces: string[] = [''];
    for (const character of charactersOf(word)) {
      const longer = pieces.at(-1)! + character;
      if (pieces.at(-1) === '' || this.widthOf(longer, style) <= width) {
        pieces[pieces.length - 1] = longer;
      } else {
        pieces.push(character);
      }
    }
    return pieces;
  }

  private measure(text: string, font: string, style: TextStyle, rightToLeft: boolean): number {
    return this.doc.font(font).fontSize(style.size).widthOfString(text, shaping(rightToLeft));
  }
}

/**
 * How the library is to shape a run. By default it lays out word by word and remembers each; an empty
 * list of features makes it lay out the run as a whole, without which words that go from right to left would
 * be set from left to right.
 */
const shaping = (rightToLeft: boolean): { features?: [] } => (rightToLeft ? { features: [] } : {});

/**
 * Text on one line, without characters that steer or hide. Spaces at which no line may break stay, all
 * as U+00A0, which every face has.
 */
export const plainText = (text: string): string =>
  text
    .replace(STEERING, ' ')
    .replace(/\u202f/g, '\u00a0')
    .replace(/[^\S\u00a0]+/gu, ' ')
    .trim();

/** What a reader counts as one letter, accents and all. */
const charactersOf = (text: string): string[] =>
  Array.from(graphemes.segment(text), ({ segment }) => segment);

type Coverage = (codePoint: number) => boolean;

/** The library's own font. Its type declarations leave out what characters it has, and what its glyphs stand for. */
interface LibraryFont {
  readonly font: { readonly hasGlyphForCodePoint: Coverage };
  /** Characters of each glyph in the file, by the glyph's number there. */
  readonly unicode: (readonly number[] | undefined)[];
}

const fontOf = (doc: InstanceType<typeof PDFDocument>): LibraryFont =>
  (doc as unknown as { _font: LibraryFont })._font;

/** A typeface, unpacked. */
interface Face {
  readonly name: string;
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
  readonly has: Coverage;
}

/** What is found out about typefaces once, for all documents that are set in them. */
interface Known {
  readonly faces: readonly Face[];
  /** In type of one point, by direction, weight and text. */
  readonly lines: Map<string, Line>;
}

/** Lines that are remembered at most: those of some documents. */
const MOST_LINES = 20_000;

const known = new WeakMap<DocumentFonts, Known>();

function knownOf(fonts: DocumentFonts, doc: InstanceType<typeof PDFDocument>): Known {
  let found = known.get(fonts);
  if (found === undefined) {
    const faces = fonts.map(({ name, regular, bold }) => {
      const face = {
        name,
        regular: openTypeFromWoff(regular),
        bold: openTypeFromWoff(bold),
      };
      doc.font(face.regular);
      const { font } = fontOf(doc);
      return { ...face, has: (code: number) => font.hasGlyphForCodePoint(code) };
    });
    found = { faces, lines: new Map() };
    known.set(fonts, found);
  }
  return found;
}
