/**
 * CUE sheets: where the tracks of an audio CD lie in its image, for programs that burn it.
 *
 * Sources: the numbers of an audio CD are those of the Red Book (IEC 60908): 44 100 samples a second
 * of 16 bits in two channels, 75 frames a second, 99 tracks. The sheet is a convention, described in
 * the manual of CDRWIN 3 (appendix A): titles in quotes, which have no way to hold a quote, of less
 * than 80 characters; times as minutes:seconds:frames.
 *
 * @module
 */

/** Frames ("sectors") in a second; times on a CD are whole frames. */
export const FRAMES_PER_SECOND = 75;

/** Samples of each channel in a frame. */
export const SAMPLES_PER_FRAME = 588;

/** Bytes of a frame: two channels of 16 bits. */
export const BYTES_PER_FRAME = 2352;

/** Most tracks on a CD. */
export const MAX_TRACKS = 99;

/** A track is at least 4 s long (IEC 60908, from memory). */
export const MIN_TRACK_FRAMES = 4 * FRAMES_PER_SECOND;

/** Longest title, in characters. */
const MAX_TITLE = 79;

export interface CueTrack {
  readonly title: string;
  /** Frame at which the pause before it starts; that of its start when there is none. */
  readonly pauseFrame: number;
  /** Frame at which it starts. */
  readonly startFrame: number;
}

export interface CueSheet {
  readonly title: string;
  /** Name of the image, a WAV file in the same folder. */
  readonly file: string;
  /** In order; numbered from 1. */
  readonly tracks: readonly CueTrack[];
}

/** Text of a sheet. @throws {RangeError} No tracks, too many, or not in order. */
export function formatCueSheet({ title, file, tracks }: CueSheet): string {
  if (tracks.length === 0 || tracks.length > MAX_TRACKS) {
    throw new RangeError(`a CD has 1 to ${MAX_TRACKS} tracks, got ${tracks.length}`);
  }
  const lines = tracks.flatMap(({ title, pauseFrame, startFrame }, i) => {
    const before = tracks[i - 1]?.startFrame ?? -1;
    if (!(before < pauseFrame && pauseFrame <= startFrame)) {
      throw new RangeError(`track ${i + 1} must start after the one before`);
    }
    return [
      `  TRACK ${twoDigits(i + 1)} AUDIO`,
      `    TITLE ${quoted(title)}`,
      ...(pauseFrame === startFrame ? [] : [`    INDEX 00 ${formatFrames(pauseFrame)}`]),
      `    INDEX 01 ${formatFrames(startFrame)}`,
    ];
  });
  return `${[`TITLE ${quoted(title)}`, `FILE ${quoted(file)} WAVE`, ...lines].join('\r\n')}\r\n`;
}

/**
 * A sheet of one WAV file from its text.
 *
 * @throws {RangeError} It is not such a sheet; the message names the line.
 */
export function parseCueSheet(text: string): CueSheet {
  let title = '';
  let file: string | undefined;
  const tracks: { title: string; pauseFrame?: number; startFrame?: number }[] = [];
  for (const [i, line] of text.split(/\r?\n/).entries()) {
    const [, command, rest = ''] = /^\s*(\S+)\s*(.*?)\s*$/.exec(line) ?? [];
    const track = tracks.at(-1);
    const fail = (): never => {
      throw new RangeError(`line ${i + 1} is not as in a CUE sheet of one WAV file`);
    };
    switch (command) {
      case undefined:
      case 'REM':
        break;
      case 'TITLE': {
        const words = /^"([^"]*)"$/.exec(rest)?.[1] ?? fail();
        if (track === undefined) title = words;
        else track.title = words;
        break;
      }
      case 'FILE':
        if (file !== undefined) fail();
        file = /^"([^"]+)" WAVE$/.exec(rest)?.[1] ?? fail();
        break;
      case 'TRACK':
        if (file === undefined || rest !== `${twoDigits(tracks.length + 1)} AUDIO`) fail();
        tracks.push({ title: '' });
        break;
      case 'INDEX': {
        const [, index, time] = /^(0[01]) (\d\d:\d\d:\d\d)$/.exec(rest) ?? [];
        if (track === undefined || time === undefined) return fail();
        const frame = readFrames(time) ?? fail();
        if (index === '00') track.pauseFrame = frame;
        else track.startFrame = frame;
        break;
      }
      default:
        fail();
    }
  }
  if (file === undefined) throw new RangeError('it names no file');
  return {
    title,
    file,
    tracks: tracks.map(({ title, startFrame, pauseFrame = startFrame }, i) => {
      if (startFrame === undefined) throw new RangeError(`track ${i + 1} has no start`);
      return { title, pauseFrame: pauseFrame!, startFrame };
    }),
  };
}

/** Frames as `mm:ss:ff`. */
function formatFrames(frame: number): string {
  const seconds = Math.floor(frame / FRAMES_PER_SECOND);
  return [Math.floor(seconds / 60), seconds % 60, frame % FRAMES_PER_SECOND]
    .map(twoDigits)
    .join(':');
}

/** The frames of `mm:ss:ff`; undefined when seconds or frames are too many. */
function readFrames(time: string): number | undefined {
  const [minutes, seconds, frames] = time.split(':').map(Number);
  if (seconds! >= 60 || frames! >= FRAMES_PER_SECOND) return undefined;
  return (minutes! * 60 + seconds!) * FRAMES_PER_SECOND + frames!;
}

const twoDigits = (number: number): string => String(number).padStart(2, '0');

/** Text that cannot break out of its quotes or its line. */
function quoted(text: string): string {
  const line = text
    .replace(/["\u201c\u201d]/g, "'")
    .replace(/[\s\p{Cc}\u2028\u2029]+/gu, ' ')
    .trim();
  return `"${Array.from(line).slice(0, MAX_TITLE).join('')}"`;
}
