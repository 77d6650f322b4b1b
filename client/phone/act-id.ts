const letters = 'abcdefghijklmnopqrstuvwxyz0123456789';
/** 26 of 36 signs: 134 bits, so that no two acts of a panel ever share an id. */
const length = 26;
/** The largest multiple of 36 in a byte; bytes above it would make some signs likelier. */
const fair = 252;

/**
 * An id for an act. Takes `crypto.getRandomValues` as an argument: it is there on plain HTTP too, unlike
 * `crypto.randomUUID`.
 */
export function newActId(fill: (bytes: Uint8Array<ArrayBuffer>) => unknown): string {
  let id = '';
  while (id.length < length) {
    const bytes = new Uint8Array(length);
    fill(bytes);
    for (const byte of bytes) {
      if (byte < fair && id.length < length) id += letters.charAt(byte % letters.length);
    }
  }
  return id;
}
