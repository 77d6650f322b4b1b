import type { ByteFile } from './byte-file';

const piece = 256 * 1024;

/** Walks through a file from front to back and keeps only a window of it in memory. */
export class ByteWindow {
  private bytes: Buffer = Buffer.alloc(0);

  constructor(
    private readonly file: ByteFile,
    /** Where the next byte lies in the file. */
    public position: number,
    private readonly end: number = file.size,
  ) {}

  get left(): number {
    return this.end - this.position;
  }

  /** The next bytes, without going on; fewer than asked for only where the file ends. */
  async peek(length: number): Promise<Buffer> {
    const wanted = Math.min(length, this.left);
    if (this.bytes.length < wanted) {
      const from = this.position + this.bytes.length;
      const more = await this.file.read(from, Math.min(Math.max(piece, length), this.end - from));
      this.bytes = this.bytes.length > 0 ? Buffer.concat([this.bytes, more]) : more;
    }
    return this.bytes.subarray(0, wanted);
  }

  advance(length: number): void {
    this.position += length;
    this.bytes = length < this.bytes.length ? this.bytes.subarray(length) : Buffer.alloc(0);
  }
}
