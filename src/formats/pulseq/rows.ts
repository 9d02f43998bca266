/**
 * The rows of one section, read number by number.
 *
 * Files have millions of numbers, so this looks at every character once and makes no strings except
 * for numbers with an exponent or more digits than a double holds exactly.
 *
 * @module
 */

const TAB = 9;
const NEWLINE = 10;
const RETURN = 13;
const SPACE = 32;
const HASH = 35;
const PLUS = 43;
const MINUS = 45;
const POINT = 46;
const ZERO = 48;
const NINE = 57;
const UPPER_A = 65;
const UPPER_E = 69;
const LOWER_E = 101;

/** Digits whose number a double always holds exactly. */
const EXACT_DIGITS = 15;

/** Powers of ten that a double holds exactly; dividing by one rounds once, as it must. */
const POWERS = Array.from({ length: EXACT_DIGITS + 1 }, (_, i) => 10 ** i);

export class Rows {
  /** Numbers of the current row that have been read. */
  readonly numbers = new Float64Array(16);
  /** How many of {@link numbers} hold. */
  count = 0;
  /** Offset of the current row's first character that is not blank. */
  at: number;
  /** Whether an empty line stands between the current row and the one before. */
  afterBlank = false;

  private cursor: number;
  private lineEnd: number;

  /** The text from one offset up to another; rows start on the next line. */
  constructor(
    private readonly text: string,
    from: number,
    private readonly to: number,
  ) {
    this.at = from;
    this.cursor = from;
    this.lineEnd = this.endOfLine(from);
  }

  /** Goes to the next row that holds something: no empty line, no comment. */
  next(): boolean {
    this.afterBlank = false;
    this.count = 0;
    while (this.lineEnd < this.to) {
      const start = this.lineEnd + 1;
      this.lineEnd = this.endOfLine(start);
      this.cursor = start;
      this.skipBlanks();
      this.at = this.cursor;
      if (this.cursor === this.lineEnd) this.afterBlank = true;
      else if (this.text.charCodeAt(this.cursor) !== HASH) return true;
    }
    return false;
  }

  /** Reads numbers of the row, up to `max`, until one is not there. Returns how many were read. */
  readNumbers(max: number): number {
    while (this.count < max && !this.atEnd()) {
      const value = this.readNumber();
      if (Number.isNaN(value)) break;
      this.numbers[this.count++] = value;
    }
    return this.count;
  }

  /** Whether nothing but blanks or a comment is left of the row. */
  atEnd(): boolean {
    this.skipBlanks();
    return this.cursor >= this.lineEnd || this.text.charCodeAt(this.cursor) === HASH;
  }

  /** The next word of the row; empty at its end. */
  word(): string {
    this.skipBlanks();
    const start = this.cursor;
    while (this.cursor < this.lineEnd && !isBlank(this.text.charCodeAt(this.cursor))) {
      this.cursor += 1;
    }
    return this.text.slice(start, this.cursor);
  }

  /** Whether the row begins with a letter, as headers do. */
  startsWithLetter(): boolean {
    return this.text.charCodeAt(this.at) >= UPPER_A;
  }

  /** What is left of the row. */
  rest(): string {
    this.skipBlanks();
    return this.text.slice(this.cursor, this.lineEnd).trim();
  }

  /** The whole row. */
  row(): string {
    return this.text.slice(this.at, this.lineEnd).trim();
  }

  private endOfLine(from: number): number {
    const end = this.text.indexOf('\n', from);
    return end === -1 || end > this.to ? this.to : end;
  }

  private skipBlanks(): void {
    while (this.cursor < this.lineEnd && isBlank(this.text.charCodeAt(this.cursor))) {
      this.cursor += 1;
    }
  }

  /** The number at the cursor, which moves behind it; NaN, without moving, when there is none. */
  private readNumber(): number {
    const { text, lineEnd } = this;
    const start = this.cursor;
    let i = start;
    const sign = text.charCodeAt(i);
    if (sign === MINUS || sign === PLUS) i += 1;
    let mantissa = 0;
    let digits = 0;
    let decimals = 0;
    let point = false;
    for (; i < lineEnd; i++) {
      const code = text.charCodeAt(i);
      if (code >= ZERO && code <= NINE) {
        mantissa = mantissa * 10 + (code - ZERO);
        digits += 1;
        if (point) decimals += 1;
      } else if (code === POINT && !point) point = true;
      else break;
    }
    const ends = i >= lineEnd || isBlank(text.charCodeAt(i));
    if (ends && digits > 0 && digits <= EXACT_DIGITS) {
      this.cursor = i;
      const value = decimals === 0 ? mantissa : mantissa / POWERS[decimals]!;
      return sign === MINUS ? -value : value;
    }
    return this.readLongNumber(start);
  }

  /** A number with an exponent or many digits. */
  private readLongNumber(start: number): number {
    let i = start;
    while (i < this.lineEnd && isNumeric(this.text.charCodeAt(i))) i += 1;
    if (i < this.lineEnd && !isBlank(this.text.charCodeAt(i))) return NaN;
    const value = i > start ? Number(this.text.slice(start, i)) : NaN;
    if (!Number.isFinite(value)) return NaN;
    this.cursor = i;
    return value;
  }
}

const isBlank = (code: number): boolean =>
  code === SPACE || code === TAB || code === RETURN || code === NEWLINE;

/** Digits, signs, point, `e` and `E`: leaves out `Infinity`, `0x10` and the like. */
const isNumeric = (code: number): boolean =>
  (code >= ZERO && code <= NINE) ||
  code === POINT ||
  code === PLUS ||
  code === MINUS ||
  code === LOWER_E ||
  code === UPPER_E;
