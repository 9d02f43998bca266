/** ffmpeg, a general-purpose audio program, as a second opinion on files that we write. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';

const { path: ffmpegPath } = createRequire(import.meta.url)('@ffmpeg-installer/ffmpeg') as {
  path: string;
};

/**
 * Runs ffmpeg on a file with these bytes: a real file, since it reads a pipe's end less exactly.
 *
 * @throws {Error} It ends with an error.
 */
export function ffmpeg(
  file: Uint8Array,
  args: readonly string[],
): { readonly stdout: Buffer; readonly stderr: string } {
  const folder = mkdtempSync(path.join(tmpdir(), 'softknock-ffmpeg-'));
  try {
    const input = path.join(folder, 'input');
    writeFileSync(input, file);
    return ffmpegOn(input, args);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The same on a file that is there. @throws {Error} It ends with an error. */
export function ffmpegOn(
  input: string,
  args: readonly string[],
): { readonly stdout: Buffer; readonly stderr: string } {
  const all = ['-hide_banner', '-i', input, ...args];
  const { status, stdout, stderr, error } = spawnSync(ffmpegPath, all, { maxBuffer: 2 ** 30 });
  if (error !== undefined) throw error;
  if (status !== 0) throw new Error(`ffmpeg ended with ${status}: ${stderr.toString()}`);
  return { stdout, stderr: stderr.toString() };
}

/** Samples of an audio file as ffmpeg decodes its first channel. */
export function decodeWithFfmpeg(file: Uint8Array): Float32Array {
  const { stdout } = ffmpeg(file, ['-f', 'f32le', '-ac', '1', 'pipe:1']);
  return new Float32Array(
    stdout.buffer.slice(stdout.byteOffset, stdout.byteOffset + stdout.length),
  );
}
