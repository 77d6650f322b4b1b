import { io } from 'socket.io-client';
import { type Answer, expectStatus } from './browser';
import { type DeskSeen, readDesk } from './desk-page';
import { Line, lineOptions } from './line';
import type { Form } from './page';
import { StaffBrowser, unmeasured } from './staff-browser';

/** Whoever runs the desk: its page, its part that is fetched anew, and the socket that says that something changed. */
export class DeskBrowser extends StaffBrowser {
  private readonly line = new Line();
  /** The study whose changes it hears of, the newest version of it that was heard of, and the newest that it has read. */
  private study = '';
  private newest = 0;
  private read = 0;
  private changes = 0;
  /** How many changes there were when it was woken last. */
  private woken = 0;
  private waiting: (() => void)[] = [];

  async openSession(study: string): Promise<DeskSeen> {
    const { page } = await this.open(`${study}/run`);
    const form = page.form('#open-session');
    const deviation: Record<string, string> = 'deviation' in form.fields ? { deviation: unmeasured } : {};
    return readDesk(expectStatus(await this.send(form, deviation), 200).body);
  }

  async look(study: string): Promise<DeskSeen> {
    return this.reads(study, await this.open(`${study}/run/part`));
  }

  /** Sends a form of the desk as its script does, and reads the part that comes back. */
  async act(form: Form, changed: Record<string, string> = {}): Promise<DeskSeen> {
    return this.reads(form.action.replace(/\/run\/.*/, ''), await this.tryAct(form, changed));
  }

  private reads(study: string, answer: Answer): DeskSeen {
    const seen = readDesk(expectStatus(answer, 200).body);
    if (study === this.study) this.read = Math.max(this.read, seen.version);
    return seen;
  }

  tryAct(form: Form, changed: Record<string, string> = {}): Promise<Answer> {
    return this.post(form.action, { ...form.fields, ...changed }, 'page', { 'x-part': '1' });
  }

  /** A form that stands on the whole desk page: `#pause`, `#resume`, `#incident-form`, `#close-session`. */
  async press(study: string, selector: string, changed: Record<string, string> = {}): Promise<Answer> {
    const { page } = await this.open(`${study}/run`);
    return this.send(page.form(selector), changed);
  }

  /** Closes the session, and says yes if it asks about listeners who have not finished. */
  async closeSession(study: string): Promise<void> {
    const asked = await this.press(study, '#close-session');
    const form = asked.page.find('input[name="understood"]') ? asked.page.form('main') : null;
    if (form) expectStatus(await this.send(form), 200);
  }

  /** Hears of changes from now on. */
  async connect(study: string): Promise<void> {
    this.study = study;
    this.newest = 0;
    this.read = 0;
    await this.line.connect(
      async () => {},
      () => {
        const socket = io(`${this.origin}/desk`, {
          ...lineOptions,
          auth: { study: study.split('/').at(-1) },
          extraHeaders: { cookie: this.cookies.header() ?? '', origin: this.origin },
        });
        socket.io.engine.on('packet', ({ type, data }: { type: string; data?: unknown }) => {
          this.watch?.({ to: this.name, of: 'socket', status: null, headers: type, body: String(data ?? '') });
        });
        socket.on('changed', (version: number) => this.hear(version));
        return socket;
      },
    );
  }

  /** How often something changed so far. */
  get heard(): number {
    return this.changes;
  }

  /** Waits until more has changed than `heard`, and it isn't what the desk has read already. */
  async change(heard: number): Promise<void> {
    if (this.woken > heard || (this.changes > heard && this.newest > this.read)) return;
    await new Promise<void>((resolve) => this.waiting.push(resolve));
  }

  /** As if something had changed. */
  wake(): void {
    this.changes++;
    this.woken = this.changes;
    this.goOn();
  }

  private hear(version: number): void {
    this.changes++;
    this.newest = Math.max(this.newest, version);
    // What it has done itself stands in the part that came back.
    if (this.newest > this.read) this.goOn();
  }

  private goOn(): void {
    for (const wake of this.waiting.splice(0)) wake();
  }

  hangUp(): void {
    this.line.hangUp();
    this.wake();
  }

  /** Hangs up for good. */
  cutOff(): void {
    this.line.cutOff();
    this.wake();
  }
}
