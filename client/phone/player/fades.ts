/** Raised cosines: without a corner at either end, so that nothing clicks (Rec. ITU-R BS.1534 asks for such fades). */

/** From 0 to 1 over so many frames, both ends included: one value more than frames. */
export function fadeIn(frames: number): Float32Array<ArrayBuffer> {
  const curve = new Float32Array(frames + 1);
  for (let at = 0; at <= frames; at++) curve[at] = 0.5 - 0.5 * Math.cos((Math.PI * at) / frames);
  curve[frames] = 1;
  return curve;
}

export const fadeOut = (frames: number): Float32Array<ArrayBuffer> => fadeIn(frames).reverse();

/**
 * A piece of sound whose two edges are faded, so that it can begin, end and come round again without a click. The fade
 * lies in the samples, and so at the same place for every presentation, however often it comes round.
 */
export function fadedPiece(samples: Float32Array, from: number, to: number, frames: number): Float32Array<ArrayBuffer> {
  const piece = new Float32Array(to - from);
  piece.set(samples.subarray(from, to));
  const edge = Math.min(frames, Math.floor(piece.length / 2));
  if (edge < 1) return piece;
  const curve = fadeIn(edge);
  for (let at = 0; at < edge; at++) {
    const gain = curve[at] ?? 0;
    piece[at] = (piece[at] ?? 0) * gain;
    piece[piece.length - 1 - at] = (piece[piece.length - 1 - at] ?? 0) * gain;
  }
  return piece;
}
