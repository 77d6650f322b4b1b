import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { recordSchema } from '../../shared/record';
import { seededRandom } from '../../stats/seeded-random';
import { run } from '../cli/kept-house';
import { ada, bo, type House, newFolder, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';
import { panelHouse } from '../support/panel-house';
import { stepAt } from '../support/phone-steps';

/**
 * Studies in which anything happens at any time, played by chance through the whole server: walk-ins, seats out and back,
 * voids, reloads, sessions closed in the middle, sheets, amendments, reopening, reveals, restarts and copies put back.
 * However it went, what was recorded must hold, and come out the same from the file.
 */

afterAll(removeFolders);

const why = { reason: 'One more listener came.', seen: 'progress', seenWords: '' };

class Schedule {
  private readonly random;
  private readonly phones = new Map<string, PhoneBrowser>();
  private readonly dropped: { phone: PhoneBrowser; act: unknown }[] = [];
  private house!: House;
  private desk!: DeskBrowser;
  private bo!: StaffBrowser;
  private study = '';
  private copy: string | null = null;
  private joinCode = '';
  readonly done: string[] = [];

  constructor(
    seed: number,
    private readonly plan: Partial<PlanInMind>,
    private readonly steps: number,
  ) {
    this.random = seededRandom(`schedule ${seed}`);
  }

  private chance = (rate: number) => this.random.uniform() < rate;
  private pick = <T>(from: readonly T[]): T | undefined => from[Math.floor(this.random.uniform() * from.length)];

  async play(): Promise<{ record: string; findings: string }> {
    const made = await panelHouse({ ...smallPlan, sessions: 2, gapHours: 1, ...this.plan } as PlanInMind);
    ({ house: this.house, desk: this.desk, study: this.study } = made);
    this.bo = this.house.staff(bo.name);
    await this.bo.acceptInvitation(await this.desk.invite(), bo);
    for (let session = 1; session <= 2; session++) {
      this.house.wait(30);
      await this.between();
      if (this.chance(0.5)) await this.sheet();
      ({ joinCode: this.joinCode } = await this.desk.openSession(this.study));
      if (!this.joinCode)
        throw new Error(
          `No session was opened: ${(await this.desk.open(`${this.study}/run`)).page.text('main').slice(0, 400)}`,
        );
      const steps = this.steps * (0.3 + this.random.uniform());
      for (let step = 0; step < steps; step++) await this.any();
      await this.desk.closeSession(this.study);
      await this.lateAnswers();
    }
    await this.desk.close(this.study);
    if (this.chance(0.3)) {
      expect((await this.amend({ passphrase })).status).toBe(200);
      await this.sheet();
      ({ joinCode: this.joinCode } = await this.desk.openSession(this.study));
      for (let step = 0; step < 10; step++) await this.any();
      await this.desk.close(this.study);
      this.done.push('reopened');
    }
    await this.lateAnswers();
    if (this.chance(0.5)) await this.blindReview();
    if (this.chance(0.3)) await this.restart();
    await this.desk.unseal(this.study, passphrase);
    if (this.chance(0.5)) await this.blindReview();
    const findings = await this.desk.download(this.study, 'findings.json');
    if (this.chance(0.7)) {
      const reason = 'Nobody else is here.';
      const decision = this.chance(0.5) ? ('sign' as const) : ('refuse' as const);
      await this.desk.decide(this.study, {
        decision,
        meaning: 'approved',
        reason,
        password: ada.password,
        alone: reason,
      });
      if (this.chance(0.3)) await this.restart();
    }
    const record = await this.desk.download(this.study, 'record.json');
    for (const phone of this.phones.values()) phone.hangUp();
    await this.house.close();
    return { record, findings };
  }

  private async between(): Promise<void> {
    if (this.chance(0.3)) {
      const listeners = this.pick(['3', '4', '5']) as string;
      const { status } = await this.amend({ 'audiences.0.listeners': listeners });
      this.done.push(`amended ${status}`);
      if (status === 200) await this.sheet();
    }
    if (this.chance(0.2)) await this.restart();
    if (this.chance(0.3)) await this.backUp();
    if (this.chance(0.3)) await this.putBack();
  }

  private async amend(fields: Record<string, string>) {
    const { page } = await this.desk.open(`${this.study}/amend`);
    return this.desk.send(page.form('.amend-form'), { ...why, ...fields });
  }

  private async sheet(): Promise<void> {
    await this.bo.openSheet(this.study, passphrase);
    this.done.push('sheet');
  }

  private async backUp(): Promise<void> {
    this.copy = join(newFolder(), 'copy.sqlite');
    expect(await run('backup', this.copy, '--data', this.house.folder)).toMatchObject({ code: 0 });
  }

  private async putBack(): Promise<void> {
    if (this.copy === null) return;
    expect(await run('restore', this.copy, '--data', this.house.folder)).toMatchObject({ code: 0, stderr: '' });
    for (const phone of this.phones.values()) phone.hangUp();
    this.phones.clear();
    this.dropped.length = 0;
    const { page } = await this.desk.open(`${this.study}/run`);
    if (page.find('#close-session')) await this.desk.closeSession(this.study);
    this.done.push('put back');
  }

  private async restart(): Promise<void> {
    const { folder } = this.house;
    for (const phone of this.phones.values()) phone.hangUp();
    await this.house.close();
    const { at } = this.house.clock;
    this.house = await openHouse(folder);
    this.house.clock.at = at;
    for (const one of [this.desk, this.bo, ...this.phones.values()]) one.origin = this.house.origin;
    for (const phone of this.phones.values()) await phone.connect();
    this.done.push('restarted');
  }

  /** One thing that somebody does. What isn't possible just now is left. */
  private async any(): Promise<void> {
    const at = this.random.uniform();
    if (at < 0.1) return this.comes();
    if (at < 0.5) return this.listens();
    if (at < 0.9) return this.handles();
    if (at < 0.95) return this.voids();
    if (at < 0.97) return this.seats();
    if (at < 0.975) return this.sheet();
    if (at < 0.98) return this.reveals();
    if (at < 0.985) return this.restart();
    const phone = this.pick([...this.phones.values()]);
    if (phone?.place) await (this.chance(0.2) ? phone.stop().catch(() => null) : phone.reload());
  }

  private async comes(): Promise<void> {
    const alias = this.pick(['Cleo', 'Dov', 'Emil', 'Fay', 'Gus', 'Hal']) as string;
    const phone = this.phones.get(alias) ?? this.house.phone(alias);
    const { status } = await phone.join(this.joinCode, { alias });
    if (status !== 200) return;
    const again = (await phone.open('/listen')).page;
    if (again.find('form[action="/listen/check-in"]')) await phone.checkIn();
    if ((await phone.open('/listen')).page.find('form[action="/listen/consent"]')) await phone.consent();
    phone.hangUp();
    await phone.connect().catch(() => null);
    this.phones.set(alias, phone);
  }

  private async listens(): Promise<void> {
    const phone = this.pick([...this.phones.values()]);
    if (!phone?.connected) return;
    const place = await phone.where();
    if (place?.kind === 'asking' && this.chance(0.2)) {
      this.dropped.push({ phone, act: phone.whole({ kind: 'answer', answer: place.answers[0] ?? '' }) });
      return;
    }
    await stepAt(phone, place);
  }

  private async handles(): Promise<void> {
    const seen = await this.desk.look(this.study);
    const forms = [...seen.arrivals.map(({ seat }) => seat), ...seen.hands.map(({ form }) => form)].filter(
      (one) => one,
    );
    const form = this.pick(forms);
    if (form) await this.desk.tryAct(form);
  }

  private async voids(): Promise<void> {
    const seat = this.pick((await this.desk.look(this.study)).seats);
    if (!seat?.void) return;
    const { status } = await this.desk.tryAct(seat.void, { reason: 'disturbed' });
    this.done.push(`void ${status}`);
  }

  private async seats(): Promise<void> {
    const seat = this.pick((await this.desk.look(this.study)).seats);
    const form = seat?.again ?? (this.chance(0.5) ? seat?.out : null);
    if (form) this.done.push(`seat ${(await this.desk.tryAct(form)).status}`);
  }

  private async reveals(): Promise<void> {
    const code = this.pick([...this.phones.values()].flatMap(({ place }) => place?.code ?? []));
    if (!code) return;
    const { page } = await this.bo.open(`${this.study}/reveal`);
    const form = page.find('.reveal-form') ? page.form('.reveal-form') : null;
    if (!form) return;
    const { status } = await this.bo.send(form, { code, reason: 'A rash on the skin.', passphrase });
    this.done.push(`reveal ${status}`);
  }

  /** What phones had kept comes when it is too late. */
  private async lateAnswers(): Promise<void> {
    for (const { phone, act } of this.dropped.splice(0)) {
      if (!phone.connected || this.chance(0.3)) continue;
      const { ok } = await phone.emit(act);
      this.done.push(`late ${ok}`);
    }
  }

  private async blindReview(): Promise<void> {
    let { page } = await this.desk.open(`${this.study}/review/data`);
    if (page.find('form[action$="/data/open"]')) {
      const form = page.form('form[action$="/data/open"]');
      ({ page } = await this.desk.send(
        form,
        'why' in form.fields || page.find('[name="why"]') ? { why: 'Nobody else is here.' } : {},
      ));
    }
    ({ page } = await this.desk.open(`${this.study}/review/data?open=1`));
    const option = this.pick(
      page.all('form[action$="/data/exclude"] option').map((one) => one.getAttribute('value') ?? ''),
    );
    if (!option) return;
    const { status } = await this.desk.send(page.form('form[action$="/data/exclude"]'), {
      target: option,
      reason: 'Coughed all along.',
    });
    this.done.push(`excluded ${status}`);
  }
}

const plans: [string, Partial<PlanInMind>][] = [
  ['preference, alone', { handling: 'solo', turns: 2 }],
  [
    'ABX, fresh carriers',
    { handling: 'two-person', method: 'abx', trials: 3, closingQuestion: ['First kind', 'Second kind'] },
  ],
  ['ABX, codes of the day', { handling: 'day-code', method: 'abx', trials: 3 }],
  [
    'first impressions, fresh carriers',
    {
      handling: 'two-person',
      method: 'first-impressions',
      scales: ['naturalness', 'brightness'],
      hiddenRepeats: 1,
      exclusions: ['marked', 'late'],
    },
  ],
];

/** More of them: SCHEDULES rounds of STEPS steps from SEED on. */
const rounds = Number(process.env.SCHEDULES ?? 1);
test.each(plans)(
  '%s: whatever happens, the record holds',
  async (_name, plan) => {
    for (let round = 0; round < rounds; round++) {
      const schedule = new Schedule(Number(process.env.SEED ?? 1) + round, plan, Number(process.env.STEPS ?? 50));
      const { record, findings } = await schedule.play().catch((error: unknown) => {
        throw new Error(`Round ${round}: ${schedule.done.join(', ')}: ${error instanceof Error ? error.stack : error}`);
      });
      const { lines } = checkRecord(record, (one) => findingsHash(findingsOf(one)));
      expect([round, schedule.done.join(', '), lines.filter(({ holds }) => holds !== true)]).toEqual([
        round,
        expect.anything(),
        [],
      ]);
      expect(`${JSON.stringify(findingsOf(recordSchema.parse(JSON.parse(record))), null, 1)}\n`).toBe(findings);
    }
  },
  300_000,
);
