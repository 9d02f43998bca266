/** What `wav-coder.ts` uses of the package, as its code behaves: `decode` may return nothing. */
declare module 'node-wav' {
  interface Decoded {
    readonly sampleRate: number;
    readonly channelData: readonly Float32Array[];
  }
  interface EncodeOptions {
    readonly sampleRate: number;
    readonly bitDepth: 16 | 24 | 32;
    readonly float: boolean;
  }
  const nodeWav: {
    readonly decode: (file: ArrayBuffer) => Decoded | undefined;
    readonly encode: (channels: readonly Float64Array[], options: EncodeOptions) => Uint8Array;
  };
  export default nodeWav;
}
