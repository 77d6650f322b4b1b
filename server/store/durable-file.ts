import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';

/** Waits until the content of a file is on disk. */
export function syncFile(file: string): void {
  const handle = openSync(file, 'r+');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** A new file's name survives a power cut only with its folder; Windows keeps folders by itself. */
export function syncFolderOf(file: string): void {
  if (process.platform === 'win32') return;
  const handle = openSync(dirname(file), 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Writes a file that only this account can read, whole or not at all: beside its place first, then by its name. */
export function writeWhole(file: string, content: string): void {
  const beside = `${file}.${process.pid}.part`;
  try {
    const handle = openSync(beside, 'w', 0o600);
    try {
      writeSync(handle, content);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(beside, file);
  } catch (error) {
    rmSync(beside, { force: true });
    throw error;
  }
  syncFolderOf(file);
}
