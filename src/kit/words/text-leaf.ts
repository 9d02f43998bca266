/**
 * What a string of the texts is: a text with places to fill in, or a list.
 *
 * @module
 */

/** A string with places to fill in, written `{name}`. */
export interface TextLeaf {
  readonly kind: 'text';
  readonly slots: readonly string[];
}

/** Sentences or points, at least one, without places to fill in. */
export interface ListLeaf {
  readonly kind: 'list';
}

export const text: TextLeaf = { kind: 'text', slots: [] };
export const list: ListLeaf = { kind: 'list' };
export const textWith = (...slots: string[]): TextLeaf => ({ kind: 'text', slots });
