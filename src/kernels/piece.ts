/** Samples that a kernel takes at a time at most. Several pieces fit into the fast memory together. */
export const PIECE: i32 = 4096;
