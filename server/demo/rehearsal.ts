import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import type { StudyId } from '../../shared/brands';
import { handsOver, levelsCount, type Plan, plays } from '../../shared/plan';
import { recordSchema, type StudyRecord } from '../../shared/record';
import { createFirstCode } from '../account/first-code';
import { type App, createApp } from '../app';
import { lockStudy, prepareLock } from '../blinding/lock';
import { recordSigned, signingPublicKey } from '../blinding/signing';
import { newId } from '../ids';
import { answersOf, type RehearsalTruth, type RehearsalWatch } from '../rehearse';
import { toolVersion } from '../root';
import { openStore, type Store } from '../store/open';
import { listStaff } from '../store/staff';
import { insertStudy } from '../store/studies';
import { temporaryFolder } from '../temporary-folder';
import { Bench } from './bench';
import { type BroughtSound, bringAndMatch, bySound } from './brought-sound';
import { expectStatus } from './browser';
import { byName } from './by-name';
import { DeskBrowser } from './desk-browser';
import { PhoneBrowser } from './phone-browser';
import { noiseFor } from './rehearsal-noise';
import { truthOf } from './rehearsal-truth';
import { RoomClock } from './room-clock';
import { type Guest, holdSession } from './session';
import { type Measuring, StaffBrowser } from './staff-browser';
import { ListenerAtSeat } from './virtual-listener';

const people = {
  lead: { name: 'Simulated lead', password: 'nobody signs in here by hand' },
  preparer: { name: 'Simulated preparer', password: 'nor here, by hand or not' },
};
const passphrase = 'sealed for a rehearsal';

/** Units that nobody has differ in nothing; the record says that nobody measured them. */
const simulated = 'none, simulated for a rehearsal';
const unmeasured: Measuring = { device: simulated, method: simulated, ears: () => [94, 94] };

/** More sit at their seats no sooner than others have left them: a full room makes a desk that is slow to read. */
const seats = 8;

/** Hours that a plan has to leave to a sitting beyond the rest, so that listeners can be kept waiting for a sample. */
const easyHours = 12;

/** After somebody's rest is over, so that nobody is at the door at the very second. */
const punctualMs = 60_000;

/** So many listeners sit at a time: of a plan that leaves little time no more than never wait for one another's sample. */
function seatsFor({ playback, prototypes, sessions: { count, minimumGapHours, maximumSpanDays: span } }: Plan): number {
  if (!handsOver({ playback })) return seats;
  const spare = span === 0 || count === 1 ? Number.POSITIVE_INFINITY : (span * 24) / (count - 1) - minimumGapHours;
  return spare >= easyHours ? seats : Math.min(seats, ...prototypes.map(({ units }) => units.length));
}

/**
 * Plays a plan from its lock to unsealing, with simulated listeners, through HTTP and sockets of a server of its own in
 * a folder of its own, which is removed at the end however it ends. The clock is turned over the sessions and the rest
 * between them. Answers with the record of what was played; its draw is one of its own. A span that leaves too little
 * time costs answers, as it would a panel: see `unplayedWords`.
 * @throws the reason of the signal when it was stopped
 */
export async function rehearse(plan: Plan, truth: RehearsalTruth, watch: RehearsalWatch = {}): Promise<StudyRecord> {
  const { signal } = watch;
  const folder = temporaryFolder('rehearsal');
  const stage = new Stage(folder.path, plan, truth, watch);
  const stopped = new Promise<never>((_, reject) => {
    signal?.addEventListener('abort', () => reject(signal.reason), { once: true });
  });
  // It may never be waited for.
  stopped.catch(() => {});
  try {
    signal?.throwIfAborted();
    return await Promise.race([stage.play(), stopped]);
  } finally {
    await stage.close();
    folder.remove();
  }
}

/** Everybody as they come to the next session: each as soon as their own rest is over, so that it suits every span. */
function guestsOf(panel: readonly ListenerAtSeat[], gapHours: number): Guest[] {
  const from = (left: Date | null) => (left ? left.getTime() + gapHours * 3_600_000 + punctualMs : 0);
  return panel
    .map((listener) => ({ listener, from: new Date(from(listener.left)) }))
    .sort((a, b) => a.from.getTime() - b.from.getTime());
}

/** The throw-away server and everybody in it. */
class Stage {
  private readonly clock = new RoomClock(new Date());
  private readonly phones: PhoneBrowser[] = [];
  private store: Store | undefined;
  private app: App | undefined;
  private desk: DeskBrowser | undefined;
  private playing: Promise<unknown> = Promise.resolve();
  private answers = 0;

  constructor(
    private readonly folder: string,
    private readonly plan: Plan,
    private readonly truth: RehearsalTruth,
    private readonly watch: RehearsalWatch,
  ) {}

  play(): Promise<StudyRecord> {
    const played = this.playAll();
    this.playing = played.catch(() => {});
    return played;
  }

  private async playAll(): Promise<StudyRecord> {
    this.say('Setting up');
    const { origin, firstCode, store } = await this.open();
    const as = (name: string) => ({ name, now: this.clock.now });
    const desk = new DeskBrowser(origin, as('desk'));
    this.desk = desk;
    await desk.makeFirstAccount(firstCode, people.lead);
    const preparer = new StaffBrowser(origin, as('preparer'));
    await preparer.acceptInvitation(await desk.invite(), people.preparer);
    const study = await this.lock(store);
    if (levelsCount(this.plan)) await preparer.noteLevels(study, unmeasured);
    const noise = plays(this.plan) ? noiseFor(byName(this.plan)) : [];
    if (noise.length > 0) await bringAndMatch(preparer, study, noise);
    const bench = new Bench();
    const panel = this.panel(origin, bench, noise);
    const { count, minimumGapHours } = this.plan.sessions;
    for (let number = 1; number <= count; number++) {
      this.doing = count === 1 ? 'The panel listens' : `Session ${number} of ${count}`;
      this.say();
      const guests = guestsOf(panel, minimumGapHours);
      if (number > 1) {
        const [first] = guests;
        if (first?.from) this.clock.turnTo(first.from);
        await desk.signIn(people.lead);
        await preparer.signIn(people.preparer);
      }
      await holdSession({
        desk,
        preparer,
        study,
        passphrase,
        number,
        bench,
        // Nobody prepares what the server plays.
        ...(handsOver(this.plan) ? {} : { carriers: Promise.resolve([]) }),
        seats: seatsFor(this.plan),
        panel: guests,
        clock: this.clock,
        // Of the time for handing over, which the plan reckons with.
        lookUp: Math.min(4, this.plan.timing.swap / 4),
      });
    }
    this.say('Unsealing');
    this.mustBeWhole();
    await desk.close(study);
    expectStatus(await desk.unseal(study, passphrase), 200);
    return recordSchema.parse(JSON.parse(await desk.download(study, 'record.json')));
  }

  /** @throws Error for answers that are missing though everybody could come to every session */
  private mustBeWhole(): void {
    const planned = answersOf(this.plan);
    if (this.answers === planned || this.plan.sessions.maximumSpanDays > 0) return;
    throw new Error(`${this.answers} of ${planned} answers were played, and nothing in the plan stood in their way.`);
  }

  private async open() {
    const store = await openStore(this.folder, { lasting: false });
    this.store = store;
    const firstCode = await createFirstCode(store);
    const app = await createApp({
      store,
      firstCode,
      // Nobody here runs a script.
      bundle: this.folder,
      log: pino({ level: 'silent' }),
      now: this.clock.now,
      // All of them come from one address.
      joins: { attempts: 100_000, minutes: 10 },
    });
    this.app = app;
    await new Promise<void>((resolve) => app.server.listen(0, '127.0.0.1', resolve));
    return {
      store,
      origin: `http://127.0.0.1:${(app.server.address() as AddressInfo).port}`,
      firstCode: firstCode.code ?? '',
    };
  }

  /** The plan as it is, under a lock and a draw of its own. Which study it goes on from is unknown in here. */
  private async lock(store: Store): Promise<string> {
    const { follows: _, ...plan } = this.plan;
    const at = this.clock.now();
    const study = newId<StudyId>(at);
    const locked = await prepareLock(study, plan, passphrase);
    const [lead] = await listStaff(store.db);
    if (!lead) throw new Error('Nobody is there to lock the plan.');
    await store.write(async (tx) => {
      await insertStudy(tx, {
        id: study,
        title: plan.title,
        state: 'draft',
        plan: '{}',
        plan_version: 0,
        plan_hash: null,
        commitment: null,
        created_by: lead.id,
        created_at: at.toISOString(),
        single_blind: null,
        version: 1,
      });
      await lockStudy(tx, this.folder, study, plan, locked);
      const { planHash, commitment } = locked;
      const signingKey = signingPublicKey(this.folder);
      await recordSigned(tx, this.folder, study, {
        at,
        actor: `staff:${people.lead.name}`,
        kind: 'plan-locked',
        body: { plan, planVersion: 1, planHash, commitment, signingKey, tool: toolVersion },
      });
    });
    return `/studies/${study}`;
  }

  private panel(origin: string, bench: Bench, noise: readonly BroughtSound[]): ListenerAtSeat[] {
    const plan = byName(this.plan);
    const truth = truthOf(plan, this.truth);
    const around = {
      bench,
      plan,
      ...(plan.playback === 'renders' ? { recognise: bySound(noise) } : {}),
      // Another rehearsal of the same plan is another panel.
      seed: String(Math.random()),
      pass: (seconds: number) => this.clock.spend(seconds),
      wait: <T>(others: Promise<T>) => this.clock.await(others),
      answered: () => {
        this.answers++;
        this.say();
      },
    };
    return plan.audiences.flatMap(({ name, listeners }) =>
      Array.from({ length: listeners }, () => {
        const alias = `Listener ${this.phones.length + 1}`;
        const phone = new PhoneBrowser(origin, { name: alias, now: this.clock.now });
        this.phones.push(phone);
        return new ListenerAtSeat(phone, { alias, audience: name, truth }, around);
      }),
    );
  }

  private doing = '';
  private say(doing = this.doing): void {
    this.doing = doing;
    this.watch.progress?.({ doing, answers: this.answers, of: answersOf(this.plan) });
  }

  async close(): Promise<void> {
    this.clock.stop();
    this.desk?.cutOff();
    for (const phone of this.phones) phone.cutOff();
    await this.app?.close();
    await this.playing;
    await this.store?.close();
  }
}
