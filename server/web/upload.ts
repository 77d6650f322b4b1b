import { Busboy } from '@fastify/busboy';
import type { Request, RequestHandler } from 'express';
import { Refusal } from './refusal';

/**
 * Every address that takes a file ends like this; a file that is sent to another is refused before it is read.
 *
 * A form with a file is read in two steps. What stands before the file becomes the body, as of any other form, so that
 * the token of the page, who is asking and what they may do are checked as everywhere; the file is held back by its
 * sender meanwhile. Only a page that asks for it then reads it. So the fields come first and the file last. The token
 * doesn't travel in the address, which browsers remember and servers write into logs.
 */
export const uploadPath = /\/upload$/;

export interface Upload {
  /** The field of the form. */
  field: string;
  /** As the sender named the file, without folders; what is in it may be anything. */
  name: string;
  /**
   * The file. Throws a Refusal when the sender breaks off, when it is too large, or when the form goes on after it;
   * whatever is made of it counts only once this has come to its end.
   */
  source: AsyncIterable<Buffer>;
}

export interface UploadLimits {
  bytes: number;
}

const most = { fields: 50, fieldBytes: 8 * 1024 };
/** The largest file that any page takes. */
export const usualUpload: UploadLimits = { bytes: 100_000_000 };
/** What goes with a file: heads of parts, fields, boundaries. */
const aroundBytes = 1_000_000;

const pending = new WeakMap<Request, Incoming>();

/** Reads a form with a file up to its file. Stands among the body parsers. */
export function formsWithFiles(limits: UploadLimits = usualUpload): RequestHandler {
  return (req, res, next) => {
    if (!uploadPath.test(req.path) || !req.is('multipart/form-data')) return next();
    const incoming = new Incoming(req, limits);
    pending.set(req, incoming);
    // Whoever answers without having read the file lets the sender come to an end.
    res.once('close', () => incoming.drain());
    incoming.fields.then((body) => {
      req.body = body;
      next();
    }, next);
  };
}

/** The file of this request, to be read once. Refuses a form that came without one. */
export function uploadOf(req: Request): Upload {
  const upload = pending.get(req)?.take();
  if (!upload || upload.name === '') {
    throw new Refusal('bad-input', 'No file came with this. Choose one and send it again.', {
      path: upload?.field ?? 'file',
    });
  }
  return upload;
}

const brokenOff = () => new Refusal('bad-input', 'The file broke off on its way. Send it again.', { path: 'file' });
const malformed = () => new Refusal('bad-input', 'The form could not be read. Reload the page and send it again.');

/** A form on its way in. */
class Incoming {
  /** What stands before the file. */
  readonly fields: Promise<Record<string, string | string[]>>;
  private readonly parser;
  private upload: Upload | null = null;
  private file: (NodeJS.ReadableStream & { destroy(error?: Error): unknown }) | null = null;
  private wrong: Refusal | null = null;
  private readonly whole: Promise<void>;
  private isWhole = false;
  private isDrained = false;
  private fail: (refusal: Refusal) => void = () => {};

  constructor(
    private readonly req: Request,
    private readonly limits: UploadLimits,
  ) {
    const body = Object.create(null) as Record<string, string | string[]>;
    this.parser = this.open();
    const { parser } = this;
    this.whole = new Promise((resolve, reject) => {
      parser?.once('finish', () => {
        this.isWhole = true;
        resolve();
      });
      this.fail = (refusal) => {
        if (this.isWhole) return;
        this.wrong ??= refusal;
        reject(this.wrong);
        this.file?.destroy(this.wrong);
        this.drain();
      };
    });
    // Told to whoever waits for the fields or reads the file; there may be nobody any more.
    this.whole.catch(() => {});
    this.fields = new Promise((resolve, reject) => {
      this.whole.then(() => resolve(body), reject);
      parser?.on('field', (name, value, _nameTruncated, isCut) => {
        if (this.file)
          this.fail(new Refusal('bad-input', 'In a form with a file the file comes last.', { path: name }));
        else if (isCut) this.fail(tooMuch());
        else put(body, name, value);
      });
      parser?.on('file', (field, file, name) => {
        this.file = file;
        // Also when nobody reads it.
        file.on('error', () => this.fail(brokenOff()));
        file.once('limit', () => this.fail(tooLarge(limits)));
        this.upload = { field, name: cleaned(name), source: this.read(file) };
        resolve(body);
      });
    });
    this.fields.catch(() => {});
    if (!parser) {
      this.fail(malformed());
      return;
    }
    parser.on('error', () => this.fail(malformed()));
    parser.once('filesLimit', () => {
      this.fail(new Refusal('bad-input', 'Send one file at a time.', { path: this.upload?.field ?? 'file' }));
    });
    parser.once('fieldsLimit', () => this.fail(tooMuch()));
    parser.once('partsLimit', () => this.fail(tooMuch()));
    req.once('error', () => this.fail(brokenOff()));
    req.once('close', () => {
      if (!req.complete) this.fail(brokenOff());
    });
    if (Number(req.headers['content-length'] ?? 0) > limits.bytes + aroundBytes) this.fail(tooLarge(limits));
    else req.pipe(parser);
  }

  take(): Upload | null {
    const { upload } = this;
    this.upload = null;
    return upload;
  }

  /** Reads on to nowhere, so that the sender gets to read the answer; but not for ever. */
  drain(): void {
    if (this.isDrained || this.req.complete) return;
    this.isDrained = true;
    if (this.parser) this.req.unpipe(this.parser);
    let left = 2 * this.limits.bytes;
    this.req.on('data', (piece: Buffer) => {
      left -= piece.length;
      if (left < 0) this.req.destroy();
    });
    this.req.resume();
  }

  private open() {
    try {
      return new Busboy({
        headers: { ...this.req.headers, 'content-type': this.req.headers['content-type'] ?? '' },
        limits: {
          fields: most.fields,
          fieldSize: most.fieldBytes,
          files: 1,
          // One more than is allowed, so that what is too much is told apart.
          parts: most.fields + 2,
          headerPairs: 20,
          fileSize: this.limits.bytes,
        },
      });
    } catch {
      return null;
    }
  }

  private async *read(file: NodeJS.ReadableStream): AsyncGenerator<Buffer> {
    try {
      if (this.wrong) throw this.wrong;
      for await (const piece of file) yield piece as Buffer;
      await this.whole;
    } catch (error) {
      throw this.wrong ?? error;
    } finally {
      if (!this.isWhole) this.drain();
    }
  }
}

function put(body: Record<string, string | string[]>, name: string, value: string): void {
  const before = body[name];
  body[name] = before === undefined ? value : [before, value].flat();
}

/**
 * What a person may read, and no more of it than fits a line. Browsers write a quotation mark in the name of a file as
 * %22 (HTML, multipart/form-data encoding algorithm).
 */
const cleaned = (name: string | undefined): string =>
  [
    ...(name ?? '')
      .replaceAll('%22', '"')
      .normalize('NFC')
      .replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Surrogate}]/gu, ''),
  ]
    .slice(0, 200)
    .join('')
    .trim();

const tooMuch = () => new Refusal('too-large', 'This form has more in its fields than the server takes.');

const tooLarge = ({ bytes }: UploadLimits) =>
  new Refusal('too-large', `This file is larger than ${Math.floor(bytes / 1e6)} MB, which is the most that is taken.`, {
    path: 'file',
  });
