/** The samples of a WAV of two channels of 24 bits as whole numbers, read by the layout that the format prescribes. */
export function readWav24(file: Buffer): { left: Int32Array; right: Int32Array } {
  const frames = file.readUInt32LE(40) / 6;
  const channel = (offset: number) =>
    Int32Array.from({ length: frames }, (_, i) => file.readIntLE(44 + 6 * i + offset, 3));
  return { left: channel(0), right: channel(3) };
}
