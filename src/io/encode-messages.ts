/**
 * What the pool of encoders and its workers say to each other.
 *
 * @module
 */
import type { Mp3Settings } from '../formats/mp3-encoder.js';

/** `start`, then `block`s, then `finish`. */
export type ToWorker =
  | { readonly kind: 'start'; readonly settings: Mp3Settings }
  | { readonly kind: 'block'; readonly samples: Float32Array<ArrayBuffer> }
  | { readonly kind: 'finish' };

/** `taken` for each block, which comes back to be filled again; at the end the file; or that it failed. */
export type ToPool =
  | { readonly kind: 'taken'; readonly samples: Float32Array<ArrayBuffer> }
  | { readonly kind: 'file'; readonly file: Uint8Array }
  | { readonly kind: 'failed'; readonly message: string };
