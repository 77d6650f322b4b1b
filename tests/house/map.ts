/** Holds a guide for contributors against the project: what it names must exist, and what exists must be named. */
export interface House {
  /** Every file, from the root, with forward slashes. */
  files: readonly string[];
  /** The scripts of package.json. */
  scripts: readonly string[];
  /** The commands of `npm run -s fh --`. */
  commands: readonly string[];
}

const extension = /\.(ts|mts|mjs|js|json|css|md|hbs|csv|sh)$/;

/** What the guide says in backticks and in fenced blocks that the project does not have. */
export function unknownNames(guide: string, house: House): string[] {
  const fenced = [...guide.matchAll(/^```[^\n]*\n([\s\S]*?)^```/gm)].map((match) => match[1] ?? '');
  const prose = guide.replace(/^```[^\n]*\n[\s\S]*?^```/gm, '');
  const inline = [...prose.matchAll(/`([^`\n]+)`/g)].map((match) => (match[1] ?? '').trim());

  const paths = inline.filter((span) => isPath(span, house.files));
  const calls = [...inline, ...fenced.flatMap((block) => block.split('\n'))];
  return [
    ...paths.filter((path) => !pathExists(path, house.files)),
    ...calls.flatMap((call) => unknownCalls(call, house)),
  ];
}

/** A path starts with something at the top of the project, or ends like a file of ours. */
function isPath(span: string, files: readonly string[]): boolean {
  if (!/^[\w.@<>*{},-]+(\/[\w.@<>*{},-]*)*$/.test(span)) return false;
  const first = span.split('/')[0] ?? '';
  const top = new Set(files.map((file) => file.split('/')[0]));
  return (
    (top.has(first) && (span.includes('/') || extension.test(span))) || (extension.test(span) && span.includes('/'))
  );
}

/** `<method>` and `*` stand for any name, `**` for any folders; a folder exists when a file lies in it. */
function pathExists(path: string, files: readonly string[]): boolean {
  const pattern = path
    .replace(/\/$/, '')
    .replace(/<[^>]+>/g, '*')
    .replace(/[.+^$()|[\]\\]/g, '\\$&')
    .replace(/\{([^}]*)\}/g, (_, names: string) => `(${names.replaceAll(',', '|')})`)
    .replace(/\*\*\/?|\*/g, (star) => (star.startsWith('**') ? '(.*/)?' : '[^/]+'));
  // Imports in the guide may leave the extension out, as imports in the code do.
  const matcher = new RegExp(`^${pattern}(\\.ts|/.*)?$`);
  return files.some((file) => matcher.test(file));
}

function unknownCalls(text: string, { scripts, commands }: House): string[] {
  const unknown: string[] = [];
  for (const match of text.matchAll(/\bnpm (?:run (?:-s )?([\w:-]+)|(start|test)\b)/g)) {
    const script = match[1] ?? match[2] ?? '';
    if (!scripts.includes(script)) unknown.push(`npm run ${script}`);
  }
  for (const match of text.matchAll(/\bnpm run -s fh -- ([a-z][\w-]*(?: [a-z][\w-]*)?)/g)) {
    const words = (match[1] ?? '').split(' ');
    const named = commands.includes(words[0] ?? '') || commands.includes(words.join(' '));
    if (!named) unknown.push(`fh ${words.join(' ')}`);
  }
  return unknown;
}

/** The folders that a reader of the guide must find in it: those at the top, and those right inside server and client. */
export function unnamedFolders(guide: string, files: readonly string[]): string[] {
  const folders = new Set<string>();
  for (const file of files) {
    const [first, second, third] = file.split('/');
    if (!first || first.startsWith('.') || second === undefined) continue;
    folders.add(first);
    if (third !== undefined && (first === 'server' || first === 'client')) folders.add(`${first}/${second}`);
  }
  return [...folders].filter((folder) => {
    const name = folder.split('/').at(-1) ?? '';
    return !new RegExp(`(^|[\\s\`/])${name}(/|\`)`, 'm').test(guide);
  });
}
