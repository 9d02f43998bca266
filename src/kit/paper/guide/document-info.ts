/**
 * What every document of a kit says at its edges: kit, draft or approval, page, whom to call.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { fillIn, type Texts } from '../../words/texts.js';
import { shortContactLine } from './contact-line.js';
import type { PaperInfo } from './paper.js';

/** @param look - Size of type, 1 for the full size; whether the pages are only counted. */
export function documentInfo(
  content: KitContent,
  texts: Texts,
  title: string,
  look: { readonly scale?: number; readonly trial?: boolean } = {},
): PaperInfo {
  const { common, guide } = texts.words;
  const { scale = 1, trial = false } = look;
  const { approval, kit } = content.manifest;
  return {
    title,
    language: texts.language,
    direction: texts.direction,
    size: content.paper === 'Letter' ? 'LETTER' : 'A4',
    scale,
    trial,
    kit,
    head: [fillIn(common.kit, { code: kit }), approvalLine(approval, texts)],
    marks: statusMarks(approval, texts),
    foot: (number, count) => [
      fillIn(guide.page, { number, count }),
      shortContactLine(content, texts),
    ],
  };
}

/** By whose leave a document is as it is; empty for a draft. */
export const approvalLine = (approval: string | null, { words: { common } }: Texts): string =>
  approval === null ? '' : fillIn(common.approved, { reference: approval });

/** What a document says of itself until its words are approved, and its translation is reviewed. */
export const statusMarks = (
  approval: string | null,
  { words: { common }, unreviewed }: Texts,
): readonly string[] => [
  ...(approval === null ? [common.draft] : []),
  ...(unreviewed.length > 0 ? [common.unreviewed] : []),
];
