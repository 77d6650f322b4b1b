/** The cookies of one browser. Knows one host, so paths and domains don't matter. */
export class CookieJar {
  private readonly cookies = new Map<string, string>();

  /** Takes what an answer sets; a cookie that has run out is dropped. */
  take(headers: Headers): void {
    for (const line of headers.getSetCookie()) {
      const [pair = '', ...attributes] = line.split(';');
      const at = pair.indexOf('=');
      const name = pair.slice(0, at).trim();
      const over = attributes.some((one) => /^\s*(max-age=0|expires=Thu, 01 Jan 1970)/i.test(one));
      if (over) this.cookies.delete(name);
      else this.cookies.set(name, pair.slice(at + 1).trim());
    }
  }

  /** The header that goes out, or null when there is nothing to send. */
  header(): string | null {
    if (this.cookies.size === 0) return null;
    return [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  }

  get(name: string): string | undefined {
    return this.cookies.get(name);
  }

  set(name: string, value: string): void {
    this.cookies.set(name, value);
  }

  forget(name: string): void {
    this.cookies.delete(name);
  }
}
