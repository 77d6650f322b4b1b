import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { root } from '../../server/root';

export interface Source {
  /** From the root of the project, with forward slashes. */
  path: string;
  source: string;
}

/** Every file of the project as it would be committed; a copy without git is walked instead. */
export function projectFiles(): string[] {
  try {
    const listed = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
      cwd: root,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    const files = listed.split('\0').filter((path) => path !== '' && existsSync(join(root, path)));
    if (files.length > 0) return [...new Set(files)];
  } catch {
    // No git, or not a checkout.
  }
  return walk('');
}

function walk(folder: string): string[] {
  return readdirSync(join(root, folder)).flatMap((name) => {
    if (['node_modules', '.git', 'data'].includes(name)) return [];
    const path = folder ? `${folder}/${name}` : name;
    return statSync(join(root, path)).isDirectory() ? walk(path) : [path];
  });
}

/** The text files among them. */
export function projectSources(): Source[] {
  return projectFiles()
    .filter((path) => !/\.(png|jpe?g|webp|ico|woff2?|wav|flac|mp3|ogg|sqlite)$/i.test(path))
    .map((path) => ({ path, source: readFileSync(join(root, path), 'utf8') }));
}
