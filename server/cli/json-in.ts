import { readFile } from 'node:fs/promises';
import { BadInput, type Io } from './command';

/**
 * The JSON of a file, or of standard input for `-`.
 * @param path what the argument is called
 * @throws BadInput where it can't be read, or is no JSON
 */
export async function jsonIn(file: string, path: string, allowed: string, io: Io): Promise<unknown> {
  const refuse = (code: string, message: string) => new BadInput({ code, message, path, allowed, got: file });
  const text = await (file === '-' ? textOf(io.stdin) : readFile(file, 'utf8')).catch(
    (error: NodeJS.ErrnoException) => {
      throw refuse('unreadable', `${file} can't be read (${error.code}).`);
    },
  );
  try {
    return JSON.parse(text);
  } catch {
    throw refuse('not-json', `${file} is not JSON.`);
  }
}

async function textOf(stream: NodeJS.ReadableStream): Promise<string> {
  let text = '';
  for await (const chunk of stream) text += String(chunk);
  return text;
}
