/**
 * A symbol and a colour for each kit, so that two kits in one home are told apart at a glance, by
 * children who do not read too. They follow from the code and say nothing else.
 *
 * The symbol alone is enough: on paper without colour, and for eyes that see colours differently.
 *
 * @module
 */

export interface KitMark {
  readonly symbol: SymbolName;
  /** Light, for a dark symbol on it. */
  readonly colour: string;
}

/** Outlines in a square of 24, as path data of SVG 1.1. */
export const SYMBOLS = {
  star: 'M12 2.6l2.9 6.2 6.7.8-5 4.6 1.4 6.7-6-3.4-6 3.4 1.4-6.7-5-4.6 6.7-.8z',
  moon: 'M20 14.4A8.5 8.500 0 0 1 9.600 4 8.500 8.500 0 1 0 20 14.400z',
  fish: 'M2 12c3.200-5.500 10-6.800 14-1.600l6-4.400v12l-6-4.400C12 18.800 5.200 17.500 2 12z',
  leaf: 'M4 20C3.500 9.500 9.500 4 20 4c.5 10.500-5.500 16-16 16z',
  boat: 'M11 2.500V14H4zM13 5l6.500 9H13zM2.500 16h19L18 21.500H6z',
  house: 'M12 2.800l9.500 8.400H19V21h-5v-6h-4v6H5v-9.800H2.500z',
  kite: 'M12 1.800l7 8.400L12 22.200 5 10.200z',
  heart:
    'M12 20.800C5.200 15.800 2.500 12.400 2.500 8.700 2.500 3.800 9 2.500 12 7c3-4.500 9.500-3.200 9.500 1.700 0 3.700-2.700 7.100-9.500 12.100z',
} as const;

export type SymbolName = keyof typeof SYMBOLS;

/** Side of the square that the outlines are drawn in. */
export const SYMBOL_SIZE = 24;

const SYMBOL_NAMES = Object.keys(SYMBOLS) as SymbolName[];

/** Light colours that stay apart for the common kinds of colour blindness only in part: see above. */
const COLOURS = [
  '#ffcb6b',
  '#a9deb6',
  '#a3d4f2',
  '#f5b0c8',
  '#cdbcf6',
  '#ffb392',
  '#e7e28f',
  '#93e1d6',
] as const;

/** The mark of a kit, from its code. */
export function kitMark(code: string): KitMark {
  // Any mixing will do, as long as it stays the same: codes are random already.
  let number = 0;
  for (const character of code) number = (number * 31 + character.charCodeAt(0)) % 4093;
  return {
    symbol: SYMBOL_NAMES[number % SYMBOL_NAMES.length]!,
    colour: COLOURS[Math.floor(number / SYMBOL_NAMES.length) % COLOURS.length]!,
  };
}
