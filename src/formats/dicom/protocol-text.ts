/**
 * Siemens protocol text: lines `key = value` between `### ASCCONV BEGIN` and `### ASCCONV END ###`, in
 * a private block of the header. Only the settings listed here leave it; it also holds free text.
 *
 * Old files write some numbers in hexadecimal; texts stand in doubled quotes where the block lies in
 * another text. The keys are facts of open files with known protocols.
 *
 * @module
 */
import { latin1 } from './ascii.js';

/** Settings that are read; times in microseconds unless the name says otherwise. */
const KEYS = [
  ...['tSequenceFileName', 'lContrasts', 'lRepetitions', 'lAverages', 'lTotalScanTimeSec'],
  ...['alTR[0]', 'alTI[0]', 'alTI[1]'],
  ...['sFastImaging.lEchoSpacing', 'sFastImaging.lTurboFactor', 'sFastImaging.lSegments'],
  ...['sPat.lAccelFactPE', 'sPat.lAccelFact3D', 'sPat.ucPATMode'],
  ...['sSliceAcceleration.lMultiBandFactor', 'sSliceArray.lSize'],
  ...['sKSpace.lBaseResolution', 'sKSpace.lPhaseEncodingLines', 'sKSpace.lPartitions'],
  ...['sKSpace.ucPhasePartialFourier', 'sKSpace.dPhaseOversamplingForDialog'],
  ...['sKSpace.ucDimension', 'sKSpace.lImagesPerSlab', 'sKSpace.lRadialViews'],
  ...['sDiffusion.lDiffDirections', 'sDiffusion.lDiffWeightings'],
  ...Array.from({ length: 16 }, (_, i) => `sDiffusion.alBValue[${i}]`),
] as const;

/** Settings by key: numbers, and the name of the sequence. */
export type ProtocolText = ReadonlyMap<string, number | string>;

const BEGIN = '### ASCCONV BEGIN';
const END = '### ASCCONV END';

/** A line of the block: key, then number or quoted text. */
const LINE = new RegExp(
  `^(${KEYS.map(key => key.replace(/[.[\]]/g, '\\$&')).join('|')})[ \\t]*=[ \\t]*(.*?)[ \\t\\r]*$`,
  'gm',
);

/** Reads the block in these bytes; empty when there is none. */
export function readProtocolText(bytes: Uint8Array): ProtocolText {
  const text = latin1(bytes);
  const begin = text.indexOf(BEGIN);
  if (begin < 0) return new Map();
  const end = text.indexOf(END, begin);
  const block = text.slice(begin, end < 0 ? undefined : end);
  const settings = new Map<string, number | string>();
  for (const [, key, written] of block.matchAll(LINE)) {
    const value = readValue(written!);
    if (value !== undefined) settings.set(key!, value);
  }
  return settings;
}

function readValue(written: string): number | string | undefined {
  if (written.startsWith('"')) return written.replaceAll('"', '').replace(/[^\x20-\x7e]/g, ' ');
  // A comment may stand behind a number.
  const [number] = written.split(/[ \t#]/);
  if (number === undefined || number === '') return undefined;
  const value = Number(number);
  return Number.isFinite(value) ? value : undefined;
}
