/**
 * The values of a file's elements, by name, read with care: any of them may be absent or odd.
 *
 * @module
 */
import type { TagName } from './tags.js';

export type DicomValue = readonly (string | number)[];

/** Numbers as large as this stand for "not set" in one maker's files, 7.23e75 for example. */
const UNSET = 1e30;

export class TagValues {
  private readonly entries = new Map<TagName, { value: DicomValue; at: string }>();

  /**
   * Keeps a value unless there is one already.
   *
   * @param at - Where in the file it stands, for people: `(0018,0080)`.
   */
  keep(name: TagName, value: DicomValue, at: string): void {
    if (value.length > 0 && !this.entries.has(name)) this.entries.set(name, { value, at });
  }

  has(name: TagName): boolean {
    return this.entries.has(name);
  }

  /** Where the value stands; empty when there is none. */
  at(name: TagName): string {
    return this.entries.get(name)?.at ?? '';
  }

  /** The numbers of a value; empty when it is none or not all of it is. */
  numbers(name: TagName): readonly number[] {
    const numbers = (this.entries.get(name)?.value ?? []).map(item =>
      typeof item === 'number' ? item : item === '' ? NaN : Number(item),
    );
    return numbers.every(number => Number.isFinite(number) && Math.abs(number) < UNSET)
      ? numbers
      : [];
  }

  /** The first number; undefined when there is none. */
  number(name: TagName): number | undefined {
    return this.numbers(name)[0];
  }

  /** The first number, if above zero. */
  positive(name: TagName): number | undefined {
    const number = this.number(name);
    return number !== undefined && number > 0 ? number : undefined;
  }

  /** The texts of a value; empty when there is none. */
  texts(name: TagName): readonly string[] {
    return (this.entries.get(name)?.value ?? []).filter(item => typeof item === 'string');
  }

  /** The first text; empty when there is none. */
  text(name: TagName): string {
    return this.texts(name)[0] ?? '';
  }
}
