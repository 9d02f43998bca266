/**
 * Plain text in lines that are not too long.
 *
 * @module
 */

/** Words in lines of at most `width` characters; a longer word has a line of its own. */
export function wrapWords(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= width) {
      lines[lines.length - 1] = `${last} ${word}`;
    } else {
      lines.push(word);
    }
  }
  return lines;
}
