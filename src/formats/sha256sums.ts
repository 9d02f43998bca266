/**
 * `SHA256SUMS`: the checksum file that `sha256sum --check` reads (GNU coreutils): one line a file,
 * the digest in lower-case hexadecimal, two spaces, the path.
 *
 * @module
 */

export interface Checksum {
  /** Relative to the checksum file, forward slashes, no line breaks or backslashes. */
  readonly path: string;
  /** SHA-256, lower-case hexadecimal. */
  readonly sha256: string;
}

/** Text of a checksum file, by path. */
export function formatSha256Sums(sums: readonly Checksum[]): string {
  return sums
    .toSorted((a, b) => (a.path < b.path ? -1 : 1))
    .map(({ path, sha256 }) => `${sha256}  ${path}\n`)
    .join('');
}

/** The checksums of a file, or undefined when a line is not one. Windows line ends are taken too. */
export function parseSha256Sums(text: string): readonly Checksum[] | undefined {
  const lines = text.split(/\r?\n/);
  if (lines.at(-1) === '') lines.pop();
  const sums: Checksum[] = [];
  for (const line of lines) {
    const [, sha256, path] = /^([0-9a-f]{64}) [ *](.+)$/.exec(line) ?? [];
    if (sha256 === undefined || path === undefined) return undefined;
    sums.push({ path, sha256 });
  }
  return sums;
}
