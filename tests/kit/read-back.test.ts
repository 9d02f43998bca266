/** What players see of a kit's files: tags, playlist and archive, read by libraries of others. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Parser } from 'm3u8-parser';
import { parseBuffer } from 'music-metadata';
import { beforeAll, describe, expect, test } from 'vitest';
import yauzl from 'yauzl';
import { zipKit } from '../../src/io/zip-kit.js';
import { temporaryFolder } from '../helpers/cli.js';
import { type BuiltKit, buildSmallKit, smallInputs } from '../helpers/small-kit.js';

let kit: BuiltKit;
beforeAll(async () => {
  kit = await buildSmallKit(smallInputs({}, { scanDate: '2027-03-06' }));
});

describe('tags, by music-metadata', () => {
  const read = (file: string) => parseBuffer(kit.files.get(file)!, { mimeType: 'audio/mpeg' });

  test('are ID3v2.3 alone, with title, album, number, language and caution', async () => {
    const count = kit.manifest.steps.length;
    for (const { number, file } of kit.manifest.steps) {
      const { format, common, native } = await read(file);
      expect(format.tagTypes).toEqual(['ID3v2.3']);
      expect(common).toMatchObject({
        title: `Step ${number} of ${count}`,
        album: `Getting used to the scanner sounds (${kit.manifest.kit})`,
        track: { no: number, of: count },
        language: 'eng',
      });
      expect(common.comment![0]!.text).not.toBe('');
      expect(native['ID3v2.3']!.find(({ id }) => id === 'TXXX:KIT')!.value).toBe(kit.manifest.kit);
      // Nobody's name, nobody's program.
      expect(common).not.toHaveProperty('artist');
      expect(common).not.toHaveProperty('encodedby');
    }
  });

  test('ask players to leave the level as it is: replay gain of 0 dB for track and album', async () => {
    for (const file of ['voice-reference.mp3', ...kit.manifest.steps.map(({ file }) => file)]) {
      const { common } = await read(file);
      expect(common.replaygain_track_gain).toMatchObject({ dB: 0, ratio: 1 });
      expect(common.replaygain_album_gain).toMatchObject({ dB: 0, ratio: 1 });
    }
  });

  test('stand before audio of the stated length and rate', async () => {
    for (const { file, durationSeconds } of kit.manifest.steps) {
      const { format } = await read(file);
      expect(format).toMatchObject({
        container: 'MPEG',
        codec: 'MPEG 1 Layer 3',
        codecProfile: 'CBR',
        sampleRate: 44_100,
        numberOfChannels: 1,
        bitrate: 64_000,
      });
      // Two frames of 1152 samples that coding adds.
      expect(Math.abs(format.duration! - durationSeconds)).toBeLessThan((2 * 1152) / 44_100);
    }
  });
});

test('the playlist, by m3u8-parser: relative paths of files that are there, with their lengths', () => {
  const parser = new Parser();
  parser.push(new TextDecoder().decode(kit.files.get('playlist.m3u8')));
  parser.end();
  const segments = parser.manifest.segments as readonly {
    uri: string;
    duration: number;
    title: string;
  }[];
  const lengths = [
    kit.manifest.voiceReference.durationSeconds,
    ...kit.manifest.steps.map(({ durationSeconds }) => durationSeconds),
  ];
  expect(segments.map(({ uri }) => uri)).toEqual([
    'voice-reference.mp3',
    ...kit.manifest.steps.map(({ file }) => file),
  ]);
  for (const [i, { uri, duration, title }] of segments.entries()) {
    expect(kit.files.has(uri)).toBe(true);
    // Lists hold whole seconds, for old players; the parser takes 0.01 for 0.
    expect(Math.abs(duration - lengths[i]!)).toBeLessThanOrEqual(0.5);
    expect(title).toBe(i === 0 ? 'Set the volume' : `Step ${i} of ${segments.length - 1}`);
  }
});

describe('the archive, by yauzl', async () => {
  const folder = path.join(await temporaryFolder(), 'K7F3-9XMT');
  let entries: readonly Entry[];
  let file: string;
  beforeAll(async () => {
    for (const [name, bytes] of kit.files) {
      mkdirSync(path.dirname(path.join(folder, name)), { recursive: true });
      writeFileSync(path.join(folder, name), bytes);
    }
    file = await zipKit(folder);
    entries = await readZip(file);
  });

  test('holds every file as it is, in the folder of the kit', () => {
    expect(entries).toHaveLength(kit.files.size);
    for (const { name, bytes } of entries) {
      const [top, ...rest] = name.split('/');
      expect(top).toBe('K7F3-9XMT');
      expect(Buffer.compare(bytes, kit.files.get(rest.join('/'))!)).toBe(0);
    }
  });

  test('has the readme first, then names in order, and one date for all', () => {
    const names = entries.map(({ name }) => name);
    expect(names[0]).toBe('K7F3-9XMT/README.txt');
    expect(names.slice(1)).toEqual(names.slice(1).sort());
    expect(new Set(entries.map(({ date }) => date))).toEqual(new Set(['2000-01-01 00:00:00']));
  });

  test('is the same, byte for byte, whenever and in whatever order the files were written', async () => {
    const other = path.join(await temporaryFolder(), 'K7F3-9XMT');
    for (const [name, bytes] of [...kit.files].reverse()) {
      mkdirSync(path.dirname(path.join(other, name)), { recursive: true });
      writeFileSync(path.join(other, name), bytes);
    }
    expect(Buffer.compare(readFileSync(await zipKit(other)), readFileSync(file))).toBe(0);
  });
});

interface Entry {
  readonly name: string;
  readonly bytes: Buffer;
  /** As it stands in the archive: local time without a zone. */
  readonly date: string;
}

async function readZip(file: string): Promise<readonly Entry[]> {
  const zip = await new Promise<yauzl.ZipFile>((resolve, reject) => {
    yauzl.open(file, { lazyEntries: true, strictFileNames: true }, (error, zip) => {
      if (error) reject(error);
      else resolve(zip);
    });
  });
  const entries: Entry[] = [];
  return new Promise((resolve, reject) => {
    zip.on('error', reject);
    zip.on('end', () => {
      resolve(entries);
    });
    zip.on('entry', (entry: yauzl.Entry) => {
      zip.openReadStream(entry, (error, stream) => {
        if (error) {
          reject(error);
          return;
        }
        const pieces: Buffer[] = [];
        stream.on('error', reject);
        stream.on('data', (piece: Buffer) => pieces.push(piece));
        stream.on('end', () => {
          entries.push({
            name: entry.fileName,
            bytes: Buffer.concat(pieces),
            date: dosDate(entry),
          });
          zip.readEntry();
        });
      });
    });
    zip.readEntry();
  });
}

/** MS-DOS date and time (APPNOTE.TXT 4.4.6). */
function dosDate({ lastModFileDate: date, lastModFileTime: time }: yauzl.Entry): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = [1980 + (date >> 9), two((date >> 5) & 15), two(date & 31)].join('-');
  return `${day} ${[two(time >> 11), two((time >> 5) & 63), two(2 * (time & 31))].join(':')}`;
}
