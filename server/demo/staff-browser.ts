import type { Role } from '../../shared/roles';
import { type Answer, Browser, expectStatus } from './browser';
import { textOf } from './page';
import { filledIn, nextButton, type PlanInMind } from './plan-form';
import { type Carrier, carriersOf } from './sheet';

/** A sound file as it lies on somebody's disk. */
export interface SoundInMind {
  name: string;
  bytes: Uint8Array<ArrayBuffer>;
}

/** How units are measured, and what comes of it: decibels of the left and the right ear by serial. */
export interface Measuring {
  device: string;
  method: string;
  ears(serial: string): [left: number, right: number];
  /** As a table, where it was measured. */
  response?(serial: string): string | null;
}

export interface Account {
  name: string;
  password: string;
}

/** The reason that goes with a study whose units are invented. */
export const unmeasured = 'Levels of invented units are not measured.';

/** Somebody of the team at a laptop. */
export class StaffBrowser extends Browser {
  /** The first account, with the code from the terminal. */
  async makeFirstAccount(code: string, { name, password }: Account): Promise<void> {
    const { page } = await this.open('/account/first');
    expectStatus(await this.send(page.form('main'), { code, name, password }), 200);
  }

  /** A link for one more person. */
  async invite(): Promise<string> {
    const { page } = await this.open('/account');
    const answer = expectStatus(await this.send(page.form('form[action="/account/invite"]')), 200);
    return answer.page.find('#invitation-link')?.getAttribute('value') ?? '';
  }

  async acceptInvitation(link: string, { name, password }: Account): Promise<void> {
    const { page } = await this.open(new URL(link).pathname);
    expectStatus(await this.send(page.form('main'), { name, password }), 200);
  }

  /** Whoever is signed in still is led on, and needs no password. */
  async signIn({ name, password }: Account): Promise<void> {
    const { page } = await this.open('/account/sign-in');
    if (!page.find('input[name="password"]')) return;
    expectStatus(await this.send(page.form('main'), { name, password }), 200);
  }

  async signOut(): Promise<void> {
    const { page } = await this.open('/account');
    await this.send(page.form('form[action="/account/sign-out"]'));
  }

  /** Starts from a preset, makes room for everything, fills it in and saves. Answers with the address of the study. */
  async plan(plan: PlanInMind): Promise<string> {
    const { page } = await this.open('/studies/new');
    const form = page.form('form[action="/studies"]');
    let answer = expectStatus(await this.send(form, { title: plan.title, preset: 'three' }), 200);
    for (let what = nextButton(answer.page, plan); what !== null; what = nextButton(answer.page, plan)) {
      answer = expectStatus(await this.send(answer.page.form('#plan-form'), { do: what }), 200);
    }
    const filled = answer.page.form('#plan-form');
    answer = expectStatus(await this.send(filled, filledIn(filled, answer.page, plan)), 200);
    return answer.path.replace(/\/plan(\?.*)?$/, '');
  }

  /** On the team page, by name. */
  async giveRole(study: string, role: Role, name: string): Promise<void> {
    const { page } = await this.open(`${study}/team`);
    const form = page.form(`form.give-role:has(input[value="${role}"])`);
    const option = page.all(`#staff-${role} option`).find((one) => textOf(one) === name);
    expectStatus(await this.send(form, { staff: option?.getAttribute('value') ?? '' }), 200);
  }

  async lock(study: string, passphrase: string): Promise<void> {
    const { page } = await this.open(`${study}/plan`);
    const form = page.form(`form[action="${study}/lock"]`);
    // Invented units aren't measured, and whoever locks says so.
    const deviation = 'deviation' in form.fields ? { deviation: unmeasured } : {};
    expectStatus(await this.send(form, { passphrase, passphraseAgain: passphrase, ...deviation }), 200);
  }

  /** Brings a file for every place of the sound page, in its order. `make` is asked for excerpt and prototype by place. */
  async bringSound(study: string, make: (excerpt: number, prototype: number) => SoundInMind): Promise<void> {
    const { page } = await this.open(`${study}/sound`);
    const forms = page.forms('form[data-upload]');
    const excerpts = [...new Set(forms.map(({ fields }) => fields.excerpt ?? ''))];
    for (const [at, form] of forms.entries()) {
      const excerpt = excerpts.indexOf(form.fields.excerpt ?? '');
      const first = forms.findIndex(({ fields }) => fields.excerpt === form.fields.excerpt);
      expectStatus(await this.sendFile(form, make(excerpt, at - first)), 200);
    }
  }

  /** The same in and out point for every excerpt, in seconds. */
  async cutSound(study: string, from: number, to: number): Promise<void> {
    const { page } = await this.open(`${study}/sound`);
    for (const form of page.forms('form[data-cut]')) {
      expectStatus(await this.send(form, { from: String(from), to: String(to) }), 200);
    }
  }

  async matchSound(study: string): Promise<Answer> {
    const { page } = await this.open(`${study}/sound`);
    return expectStatus(await this.send(page.form('form[data-match]')), 200);
  }

  /** Notes what every unit measures on this day, by its serial. */
  async noteLevels(study: string, by: Measuring): Promise<void> {
    const { page } = await this.open(`${study}/levels`);
    const form = page.form('form[data-levels]');
    const { device, method } = by;
    for (const option of page.all('form[data-levels] select[name="unit"] option')) {
      const serial = textOf(option).split(' · ')[0] ?? '';
      const [left, right] = by.ears(serial).map((level) => level.toFixed(2)) as [string, string];
      const unit = option.getAttribute('value') ?? '';
      const response = by.response?.(serial) ?? '';
      const noted = { ...form.fields, unit, left, right, device, method, response };
      expectStatus(await this.post(form.action, noted, 'json'), 200);
    }
  }

  /** Opens the sheet of the session that it is offered for and reads what goes into which carrier. */
  async openSheet(study: string, passphrase: string, fields: Record<string, string> = {}): Promise<Carrier[]> {
    const { page } = await this.open(`${study}/prepare`);
    const form = page.form(`form[action="${study}/prepare/open"]`);
    const answer = expectStatus(await this.send(form, { passphrase, ...fields }), 200);
    return carriersOf(answer.page);
  }

  /** Looks at the sheet again, as after a mix-up. */
  async readSheet(study: string, session: number): Promise<Carrier[]> {
    return carriersOf(expectStatus(await this.open(`${study}/prepare/sheet?session=${session}`), 200).page);
  }

  async close(study: string): Promise<Answer> {
    const { page } = await this.open(`${study}/review`);
    return expectStatus(await this.send(page.form(`form[action="${study}/review/close"]`), { understood: 'yes' }), 200);
  }

  async unseal(study: string, passphrase: string): Promise<Answer> {
    const { page } = await this.open(`${study}/review`);
    return this.send(page.form(`form[action="${study}/review/unseal"]`), { passphrase });
  }

  /** Ticks whatever there is to know of before a signature, unless it is told what is known. */
  async decide(
    study: string,
    fields: {
      decision: 'sign' | 'refuse';
      meaning: string;
      reason: string;
      alone?: string;
      known?: string[];
      password: string;
    },
  ): Promise<Answer> {
    const { page } = await this.open(`${study}/review`);
    const known = page.all('input[name="known"]').map((box) => box.getAttribute('value') ?? '');
    return this.send(page.form(`form[action="${study}/review/sign"]`), { known, ...fields });
  }

  /** A file of the review: `record.json`, `findings.json`, `answers.csv`. */
  async download(study: string, file: string): Promise<string> {
    return expectStatus(await this.open(`${study}/review/${file}`), 200).body;
  }
}
