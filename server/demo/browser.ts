import { CookieJar } from './cookie-jar';
import { type Form, Page } from './page';

/** Everything that reached a browser: one answer, or one message of a socket, to the last byte of its body. */
export interface Arrival {
  /** Whose browser it is. */
  to: string;
  /** `GET /j/BCDFG` or `socket`. */
  of: string;
  status: number | null;
  headers: string;
  body: string;
}

export interface BrowserOptions {
  /** The name under which this browser stands in a protocol of traffic. */
  name: string;
  watch?: (arrival: Arrival) => void;
  /** What its clock says; the machine's own when left out. */
  now?: () => Date;
}

/** What came back, with its page read on demand. */
export class Answer {
  private read: Page | null = null;

  constructor(
    readonly path: string,
    readonly status: number,
    readonly headers: Headers,
    readonly body: string,
  ) {}

  get page(): Page {
    this.read ??= new Page(this.body);
    return this.read;
  }

  json<T>(): T {
    return JSON.parse(this.body) as T;
  }

  get location(): string | null {
    return this.headers.get('location');
  }
}

export type Accept = 'page' | 'json';

/** One person's browser: real HTTP, its own cookies, forms read from the pages that it is shown. */
export class Browser {
  readonly cookies = new CookieJar();
  readonly name: string;
  protected readonly watch: ((arrival: Arrival) => void) | undefined;
  protected readonly now: () => Date;

  constructor(
    public origin: string,
    { name, watch, now = () => new Date() }: BrowserOptions,
  ) {
    this.name = name;
    this.watch = watch;
    this.now = now;
  }

  /** One request and its answer; redirects are not followed. */
  async request(
    method: 'GET' | 'POST',
    path: string,
    { body, form, type, accept = 'page', headers = {} }: RequestParts = {},
  ): Promise<Answer> {
    const cookie = this.cookies.header();
    const response = await fetch(this.origin + path, {
      method,
      redirect: 'manual',
      headers: {
        accept: accept === 'page' ? 'text/html,application/xhtml+xml,*/*;q=0.8' : 'application/json',
        ...(cookie === null ? {} : { cookie }),
        ...(method === 'POST' ? { origin: this.origin } : {}),
        ...(type === undefined ? {} : { 'content-type': type }),
        ...headers,
      },
      ...(body === undefined ? {} : { body }),
      ...(form === undefined ? {} : { body: form }),
    });
    this.cookies.take(response.headers);
    const answer = new Answer(path, response.status, response.headers, await response.text());
    this.watch?.({
      to: this.name,
      of: `${method} ${path}`,
      status: answer.status,
      headers: [...answer.headers].map(([name, value]) => `${name}: ${value}`).join('\n'),
      body: answer.body,
    });
    return answer;
  }

  /** A file, to the last byte. */
  async file(path: string, headers: Record<string, string> = {}): Promise<{ status: number; bytes: Buffer }> {
    const cookie = this.cookies.header();
    const response = await fetch(this.origin + path, {
      headers: { ...headers, ...(cookie === null ? {} : { cookie }) },
    });
    this.cookies.take(response.headers);
    const bytes = Buffer.from(await response.arrayBuffer());
    this.watch?.({
      to: this.name,
      of: `GET ${path}`,
      status: response.status,
      headers: [...response.headers].map(([name, value]) => `${name}: ${value}`).join('\n'),
      body: bytes.toString('latin1'),
    });
    return { status: response.status, bytes };
  }

  /** Opens an address as a person does, and follows where it leads. */
  async open(path: string): Promise<Answer> {
    return this.follow(await this.request('GET', path));
  }

  post(path: string, fields: Fields, accept: Accept = 'page', headers: Record<string, string> = {}): Promise<Answer> {
    const body = new URLSearchParams();
    for (const [name, value] of Object.entries(fields)) for (const one of [value].flat()) body.append(name, one);
    return this.request('POST', path, {
      body: body.toString(),
      type: 'application/x-www-form-urlencoded',
      accept,
      headers,
    });
  }

  /** Sends a form with a file, fields first. */
  async sendFile(
    form: Form,
    { name, bytes }: { name: string; bytes: Uint8Array<ArrayBuffer> },
    accept: Accept = 'page',
  ): Promise<Answer> {
    const body = new FormData();
    for (const [field, value] of Object.entries(form.fields)) if (field !== 'file') body.append(field, value);
    body.append('file', new Blob([bytes]), name);
    const answer = await this.request('POST', form.action, { form: body, accept });
    return accept === 'page' ? this.follow(answer) : answer;
  }

  /** Sends a form with some of its fields changed, and follows where it leads. */
  async send(form: Form, changed: Fields = {}): Promise<Answer> {
    return this.follow(await this.post(form.action, { ...form.fields, ...changed }));
  }

  private async follow(answer: Answer): Promise<Answer> {
    let now = answer;
    for (let hops = 0; now.location !== null && now.status >= 300 && now.status < 400; hops++) {
      if (hops > 5) throw new Error(`${answer.path} leads in circles.`);
      const url = new URL(now.location, this.origin);
      now = await this.request('GET', url.pathname + url.search);
    }
    return now;
  }
}

export type Fields = Record<string, string | string[]>;

interface RequestParts {
  body?: string;
  /** A form with a file, which says its own type. */
  form?: FormData;
  type?: string;
  accept?: Accept;
  headers?: Record<string, string>;
}

/** @throws Error with what the page says, unless the answer is as expected. */
export function expectStatus(answer: Answer, status: number): Answer {
  if (answer.status === status) return answer;
  const said = [answer.page.text('h1'), answer.page.text('h1 ~ p'), ...answer.page.problems()].join(' ').trim();
  throw new Error(`${answer.path} was answered ${answer.status} instead of ${status}: ${said || answer.body}`);
}
