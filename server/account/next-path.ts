/** Where to go after signing in: only a path of this server, whatever came in the form or the address. */
export function nextPath(value: unknown): string {
  const home = '/';
  if (typeof value !== 'string' || value.length > 500 || !value.startsWith('/')) return home;
  // Browsers drop tabs and line ends, and read a backslash as a slash: `/\evil.example` is another site.
  if (/[\\\p{C}]/u.test(value) || !URL.canParse(value, own)) return home;
  const { origin, pathname, search, hash } = new URL(value, own);
  if (origin !== own || pathname.startsWith('//') || /^\/account\/(sign-|first|invited|reset)/.test(pathname))
    return home;
  return pathname + search + hash;
}

const own = 'http://own.invalid';
