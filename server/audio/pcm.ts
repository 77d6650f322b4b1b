/**
 * Sound as numbers: full scale is ±1, one array a channel, all of one length. Channels in the order of the file: left,
 * right, centre, low-frequency effects, left surround, right surround.
 */
export interface Pcm {
  /** Samples a second. */
  rate: number;
  channels: Float32Array[];
}

/** The same, piece by piece, so that a long file never lies in memory whole. Can be read once. */
export interface PcmStream {
  rate: number;
  channels: number;
  /** Pieces of whatever length; every piece has all channels, and they have one length. */
  blocks: AsyncIterable<Float32Array[]>;
}
