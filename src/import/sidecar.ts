/**
 * A sidecar's values, read with care: converters and people write numbers as text, lists for single
 * values, and other things that the specification does not foresee.
 *
 * @module
 */

/** Makers whose files differ in what they mean. */
export type Maker = 'siemens' | 'ge' | 'philips' | 'uih' | 'canon' | 'other';

const MAKERS: readonly (readonly [RegExp, Maker])[] = [
  [/siemens/i, 'siemens'],
  [/^ge\b|general electric/i, 'ge'],
  [/philips/i, 'philips'],
  [/uih|united imaging/i, 'uih'],
  [/canon|toshiba/i, 'canon'],
];

export class Sidecar {
  /** @param places - Element of each value, for people, when it is a DICOM header and no sidecar. */
  constructor(
    private readonly json: Readonly<Record<string, unknown>>,
    private readonly places?: Readonly<Record<string, string>>,
  ) {}

  /** Where a value is from, for people: `RepetitionTime of the sidecar`. */
  cite(key: string): string {
    if (this.places === undefined) return `${key} of the sidecar`;
    const place = this.places[key] ?? '';
    return `${key} of the DICOM header${place === '' ? '' : `, ${place}`}`;
  }

  /** A finite number, also when written as text; undefined otherwise. */
  number(key: string): number | undefined {
    const value = this.value(key);
    const number = typeof value === 'string' && value.trim() !== '' ? Number(value) : value;
    return typeof number === 'number' && Number.isFinite(number) ? number : undefined;
  }

  /** A number above zero. */
  positive(key: string): number | undefined {
    const number = this.number(key);
    return number !== undefined && number > 0 ? number : undefined;
  }

  /** The finite numbers of a list, or a single number; undefined when there are none. */
  numbers(key: string): readonly number[] | undefined {
    const value = this.value(key);
    if (!Array.isArray(value)) {
      const number = this.number(key);
      return number === undefined ? undefined : [number];
    }
    const numbers = value.filter(
      (item): item is number => typeof item === 'number' && Number.isFinite(item),
    );
    return numbers.length > 0 && numbers.length === value.length ? numbers : undefined;
  }

  /** True or false; undefined otherwise. */
  flag(key: string): boolean | undefined {
    const value = this.value(key);
    return typeof value === 'boolean' ? value : undefined;
  }

  /** Text; empty when there is none. */
  text(key: string): string {
    const value = this.value(key);
    return typeof value === 'string' ? value : '';
  }

  /** The texts of a list; empty when there is none. */
  texts(key: string): readonly string[] {
    const value = this.value(key);
    return Array.isArray(value) ? value.filter(item => typeof item === 'string') : [];
  }

  /** The words of a text or of a list of texts, in upper case: `SE\\EP` or `SE_EP` gives SE and EP. */
  words(key: string): ReadonlySet<string> {
    const value = this.value(key);
    const texts = Array.isArray(value) ? value.filter(item => typeof item === 'string') : [];
    if (typeof value === 'string') texts.push(value);
    const words = texts.flatMap(text => text.toUpperCase().split(/[\\_/,\s]+/));
    return new Set(words.filter(word => word !== ''));
  }

  has(key: string): boolean {
    return this.value(key) !== undefined;
  }

  get maker(): Maker {
    const text = this.text('Manufacturer').trim();
    return MAKERS.find(([pattern]) => pattern.test(text))?.[1] ?? 'other';
  }

  /** In-plane acceleration; 1 when the sidecar has none. */
  get acceleration(): number {
    const factor = this.positive('ParallelReductionFactorInPlane');
    return factor !== undefined && factor >= 1 ? factor : 1;
  }

  private value(key: string): unknown {
    return Object.hasOwn(this.json, key) ? this.json[key] : undefined;
  }
}
