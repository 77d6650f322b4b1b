import { type FileHandle, open } from 'node:fs/promises';

/** A file that is read by place. Open only as long as somebody reads. */
export interface ByteFile {
  size: number;
  /** Fewer bytes than asked for only at the end of the file. */
  read(position: number, length: number): Promise<Buffer>;
}

export async function withFile<T>(path: string, work: (file: ByteFile) => Promise<T>): Promise<T> {
  const handle = await open(path, 'r');
  try {
    return await work(await byteFile(handle));
  } finally {
    await handle.close();
  }
}

/** The same for what is read bit by bit: closed when the reader stops, wherever that is. */
export async function* streamFile<T>(path: string, work: (file: ByteFile) => AsyncIterable<T>): AsyncGenerator<T> {
  const handle = await open(path, 'r');
  try {
    yield* work(await byteFile(handle));
  } finally {
    await handle.close();
  }
}

async function byteFile(handle: FileHandle): Promise<ByteFile> {
  const { size } = await handle.stat();
  return {
    size,
    async read(position, length) {
      const wanted = Math.max(0, Math.min(length, size - position));
      const bytes = Buffer.allocUnsafe(wanted);
      let filled = 0;
      while (filled < wanted) {
        const { bytesRead } = await handle.read(bytes, filled, wanted - filled, position + filled);
        if (bytesRead === 0) break;
        filled += bytesRead;
      }
      return bytes.subarray(0, filled);
    },
  };
}
