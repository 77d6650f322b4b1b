import { io, type Socket } from 'socket.io-client';
import { type Answer, expectStatus } from './browser';
import { type DeskSeen, readDesk } from './desk-page';
import type { Form } from './page';
import { StaffBrowser } from './staff-browser';

/** Whoever runs the desk: its page, its part that is fetched anew, and the socket that says that something changed. */
export class DeskBrowser extends StaffBrowser {
  private socket: Socket | null = null;
  private changes = 0;
  private waiting: (() => void)[] = [];

  async openSession(study: string): Promise<DeskSeen> {
    const { page } = await this.open(`${study}/run`);
    return readDesk(expectStatus(await this.send(page.form('#open-session')), 200).body);
  }

  async look(study: string): Promise<DeskSeen> {
    return readDesk(expectStatus(await this.open(`${study}/run/part`), 200).body);
  }

  /** Sends a form of the desk as its script does, and reads the part that comes back. */
  async act(form: Form, changed: Record<string, string> = {}): Promise<DeskSeen> {
    return readDesk(expectStatus(await this.tryAct(form, changed), 200).body);
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
    const socket = io(`${this.origin}/desk`, {
      forceNew: true,
      auth: { study: study.split('/').at(-1) },
      extraHeaders: { cookie: this.cookies.header() ?? '', origin: this.origin },
    });
    this.socket = socket;
    socket.io.engine.on('packet', ({ type, data }: { type: string; data?: unknown }) => {
      this.watch?.({ to: this.name, of: 'socket', status: null, headers: type, body: String(data ?? '') });
    });
    socket.on('changed', () => this.wake());
    await new Promise<void>((resolve, reject) => {
      socket.once('connect', resolve);
      socket.once('connect_error', reject);
    });
  }

  /** How often something changed so far. */
  get heard(): number {
    return this.changes;
  }

  /** Waits until more has changed than `heard`. */
  async change(heard: number): Promise<void> {
    if (this.changes > heard) return;
    await new Promise<void>((resolve) => this.waiting.push(resolve));
  }

  /** As if something had changed. */
  wake(): void {
    this.changes++;
    for (const wake of this.waiting.splice(0)) wake();
  }

  hangUp(): void {
    this.socket?.disconnect();
    this.socket = null;
    this.wake();
  }
}
