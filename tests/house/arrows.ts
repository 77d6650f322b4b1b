import { posix } from 'node:path';
import type { Source } from './sources';

export interface Violation {
  path: string;
  imports: string;
  rule: string;
}

interface Import {
  /** A path of ours without extension, or the name of a package. */
  target: string;
  ours: boolean;
  typeOnly: boolean;
}

const rooms = ['plan', 'prepare', 'run', 'listen', 'review'];
/** What puts the rooms together, and so may know them. */
const assembly = ['server/app', 'server/main', 'server/cli/', 'server/quick-steps'];
const keyFiles = ['server/blinding/key', 'server/blinding/seal'];
const sqlPackages = ['kysely', 'better-sqlite3'];
/** Who may ask a package for a distribution: the one door, and the normal law that stands behind it. */
const distributionFiles = ['stats/distributions.ts', 'stats/normal.ts'];
const pure = ['stats', 'protocols', 'shared'];

/** Which folders of ours a folder may import from. */
const arrows: Record<string, string[]> = {
  stats: ['stats'],
  protocols: ['protocols', 'stats', 'shared'],
  shared: ['shared'],
  client: ['client', 'protocols', 'stats', 'shared'],
  server: ['server', 'protocols', 'stats', 'shared'],
};

/** Every import that goes against the arrows of the house, with the rule it breaks. */
export function violations(files: readonly Source[]): Violation[] {
  const found: Violation[] = [];
  for (const { path, source } of files) {
    const home = path.split('/')[0] ?? '';
    const allowed = arrows[home];
    if (!allowed || !/\.(ts|mts|mjs|css)$/.test(path)) continue;
    const breaks = (imports: string, rule: string) => found.push({ path, imports, rule });
    for (const one of importsOf(path, source)) {
      if (one.ours) {
        checkOurs(path, home, allowed, one, breaks);
      } else {
        const name = packageName(one.target);
        if (sqlPackages.includes(name) && !path.startsWith('server/store/')) {
          breaks(one.target, 'only server/store speaks SQL');
        }
        const distribution = name === 'jstat' || name.startsWith('@stdlib/');
        if (distribution && !distributionFiles.includes(path)) {
          breaks(one.target, 'distributions come through stats/distributions.ts');
        }
        if (
          pure.includes(home) &&
          (name.startsWith('node:') || ['fs', 'path', 'os', 'crypto', 'http'].includes(name))
        ) {
          breaks(one.target, `${home} is pure: nothing of Node`);
        }
      }
    }
    if (pure.includes(home)) {
      const impure = /\bMath\.random\(|\bDate\.now\(|\bnew Date\(\s*\)|\bperformance\.now\(/.exec(
        withoutComments(source),
      );
      if (impure) breaks(impure[0], `${home} is pure: no clock and no chance of its own`);
    }
  }
  return found;
}

function checkOurs(
  path: string,
  home: string,
  allowed: readonly string[],
  { target, typeOnly }: Import,
  breaks: (imports: string, rule: string) => void,
): void {
  const there = target.split('/')[0] ?? '';
  const problemType = home === 'stats' && target === 'shared/problem' && typeOnly;
  if (!allowed.includes(there) && !problemType) breaks(target, `${home} imports only ${allowed.join(', ')}`);

  const targetRoom = roomOf(target);
  if (home === 'server' && targetRoom && targetRoom !== roomOf(path)) {
    if (roomOf(path)) breaks(target, 'no room imports another room');
    else if (!assembly.some((place) => path.startsWith(place))) breaks(target, 'only the assembly imports a room');
  }
  if (keyFiles.includes(target) && !path.startsWith('server/blinding/')) {
    breaks(target, 'only server/blinding holds the key');
  }
}

function roomOf(path: string): string | undefined {
  const [first, second, third] = path.split('/');
  return first === 'server' && third !== undefined && second && rooms.includes(second) ? second : undefined;
}

export function importsOf(path: string, source: string): Import[] {
  const code = withoutComments(source);
  const statements = /\b(import|export)\b(\s+type\b)?[^'"`;()]*?\bfrom\s*(['"])([^'"]+)\3/g;
  const bare = /\bimport\s*(['"])([^'"]+)\1/g;
  const called = /\b(?:import|require)\s*\(\s*(['"`])([^'"`]+)\1/g;
  const styles = /@import\s+(?:url\(\s*)?(['"]?)([^'")\s;]+)\1/g;
  const found: Array<[string | undefined, boolean]> = [];
  if (path.endsWith('.css')) {
    for (const match of code.matchAll(styles)) found.push([match[2], false]);
  } else {
    for (const match of code.matchAll(statements)) found.push([match[4], match[2] !== undefined]);
    for (const match of code.matchAll(bare)) found.push([match[2], false]);
    for (const match of code.matchAll(called)) found.push([match[2], false]);
  }
  return found.flatMap(([target, typeOnly]): Import[] => {
    if (!target) return [];
    if (!target.startsWith('.')) return [{ target, ours: false, typeOnly }];
    const resolved = posix.join(posix.dirname(path), target).replace(/\.(ts|mts|mjs|js|css)$/, '');
    return [{ target: resolved, ours: true, typeOnly }];
  });
}

function packageName(target: string): string {
  const [first = '', second] = target.split('/');
  return first.startsWith('@') ? `${first}/${second}` : first;
}

/** Good enough for imports: a double slash inside an address stays, since a colon comes before it. */
export function withoutComments(source: string): string {
  return source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:'"`])\/\/.*$/gm, '$1');
}
