/** One presentation, decoded: full scale is ±1. */
export interface Sound {
  /** Samples a second. */
  rate: number;
  frames: number;
  /** Left and right. */
  channels: readonly [Float32Array, Float32Array];
}

/** All presentations that a place plays, of one rate and one length. */
export interface Sounds {
  trial: string;
  rate: number;
  frames: number;
  sounds: readonly (Sound & { presentation: number; sha256: string })[];
}
