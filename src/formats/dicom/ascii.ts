/**
 * Text in DICOM files. Only its ASCII part is of use here: sequence names and codes are ASCII in every
 * character set, and a wrongly declared one can do no harm.
 *
 * @module
 */

const LATIN_1 = new TextDecoder('latin1');

/** Up to this many bytes a decoder takes longer to start than the work takes. */
const SHORT = 1024;

/** One character for each byte. */
export const latin1 = (bytes: Uint8Array): string =>
  bytes.length <= SHORT ? String.fromCharCode(...bytes) : LATIN_1.decode(bytes);

/** The texts of a value, separated by backslashes; other characters than printable ASCII become spaces. */
export function asciiTexts(bytes: Uint8Array): readonly string[] {
  const text = latin1(bytes)
    .replace(/[^\x20-\x7e]/g, ' ')
    .trim();
  if (text === '') return [];
  return text.split('\\').map(part => part.trim());
}
