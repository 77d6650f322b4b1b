import type { Act, Interruption, PhoneTimes, Place, SoundReport } from '../../shared/wire';
import { say } from '../../shared/words/say';
import { actFromForm } from './act-from-form';
import { newActId } from './act-id';
import { createActQueue } from './act-queue';
import { createActSender } from './act-sender';
import { prepareAnswering } from './answering';
import { createDrafts } from './drafts';
import { prepareGrading } from './grading';
import { prepareImpression } from './impression';
import { createKeptClock } from './kept-clock';
import { openLine } from './line';
import { preparePlayer } from './player/index';
import { createPlayingClock } from './playing-clock';
import { showProblem } from './problems';
import { keepScreenOn } from './screen';
import { usableShelf } from './shelf';
import { createStage } from './stage';
import { showStatus } from './status';
import { prepareStopPanel } from './stop-panel';
import { createTouches } from './touches';

/** How long the line in the bar waits before it says that there is no connection: most gaps are shorter. */
const gap = 2_000;
/** How long stopping waits for an answer that is still on its way. */
const lastWait = 4_000;

/** Acts that don't end a place: what was tapped there meanwhile stays. */
const onTheWay: readonly string[] = ['plays', 'resumed', 'interrupted'];
/** Acts from before the first sound, to which no time since it belongs. */
const beforePlaying: readonly string[] = ['rested', 'fits', 'refit', 'plays'];

/** Takes over the forms of the place: each becomes an act that is kept first and then sent until it is acknowledged. */
export function prepareListening(element: HTMLElement): void {
  const statusElement = document.getElementById('status');
  const problems = document.getElementById('problems');
  const csrf = document.querySelector<HTMLMetaElement>('meta[name="csrf"]')?.content ?? '';
  const queue = createActQueue(
    usableShelf(() => localStorage),
    element.dataset.listener ?? '',
  );
  const perTab = usableShelf(() => sessionStorage);
  const drafts = createDrafts(perTab);
  const clocks = { monotonic: () => performance.now(), wall: () => Date.now() };
  const clock = createPlayingClock(clocks.monotonic);
  const touches = createTouches(perTab);
  const exposure = createKeptClock(perTab, 'fair-hearing.window', clocks);
  const impression = prepareImpression({
    element,
    rest: createKeptClock(perTab, 'fair-hearing.rest', clocks),
    exposure,
    touches,
    now: (trial) => ({ sincePlaying: clock.since(trial), wall: clocks.wall() }),
    changed: () => update(),
  });
  const player = preparePlayer({
    element,
    started: () => soundStarted(),
    interrupted: (what) => soundInterrupted(what),
    changed: () => update(),
  });
  const answering = prepareAnswering(element);
  const grading = prepareGrading(element);
  const stage = createStage(element, drafts, () => {
    answering.shown();
    grading.shown();
    impression.shown();
    player.shown();
  });
  const screenStaysOn = keepScreenOn();
  let connected = true;
  let signedOut = false;
  let gapTimer: ReturnType<typeof setTimeout> | undefined;

  const sender = createActSender({
    queue,
    send: (act) => line.send(act),
    settled(act, reply) {
      if (reply.ok && !onTheWay.includes(act.kind)) {
        drafts.forget();
        touches.forget();
      }
      // What was shown ahead of this answer was wrong.
      if (!reply.ok && act.kind === 'plays') stage.doubt();
      if (reply.place) show(reply.place, false);
      // An interruption that a trial doesn't ask about any more is nothing to tell.
      if (!reply.ok && problems && act.kind !== 'interrupted') showProblem(problems, reply.error.message, plays());
      if (reply.ok && reply.apart && problems) {
        showProblem(problems, say('status.late.text'), plays(), say('status.late'));
      }
      update();
    },
    changed: update,
    later(milliseconds, back) {
      const timer = setTimeout(back, milliseconds);
      return () => clearTimeout(timer);
    },
  });
  const line = openLine({
    csrf,
    place(place, asked) {
      show(place, asked);
      update();
    },
    connected(yes) {
      if (yes) {
        clearTimeout(gapTimer);
        gapTimer = undefined;
        connected = true;
        signedOut = false;
        sender.kick();
        update();
      } else {
        gapTimer ??= setTimeout(() => {
          connected = false;
          update();
        }, gap);
      }
    },
    signedOut() {
      signedOut = true;
      update();
    },
  });

  const plays = (): boolean => impression.plays() || stage.at() === 'one' || player.plays();

  function update(): void {
    stage.lock(isBusy());
    if (!statusElement) return;
    const facts = {
      sender: sender.state(),
      connected,
      signedOut,
      kind: stage.kind(),
      screenStaysOn,
      plays: plays(),
    };
    showStatus(statusElement, facts);
  }

  /** While a first impression begins, its acts travel behind the listener's back; in another tab they hold up. */
  const isBusy = (): boolean =>
    queue.all().some(({ kind }) => !onTheWay.includes(kind) || (kind === 'plays' && stage.kind() === 'starting'));

  function show(place: Place, asked: boolean): void {
    stage.show(place, asked);
    goAhead();
  }

  /** The first sound has been tapped, and the server doesn't know of it yet. */
  function goAhead(): void {
    if (stage.kind() !== 'starting') return;
    if (queue.all().some(({ kind, trial }) => kind === 'plays' && trial === stage.trial())) stage.ahead();
  }

  /**
   * A page that was loaded within a first impression knows nothing of its first sound, and says so: the sample may have
   * been heard once more.
   */
  function resume(): void {
    const trial = stage.trial();
    if (stage.kind() !== 'rating' || stage.practice() || clock.since(trial) !== null) return;
    if (queue.all().some((act) => act.kind === 'rate' && act.trial === trial)) return;
    queue.add({
      id: newId(),
      kind: 'resumed',
      trial,
      presentation: stage.presentation(),
      times: { sincePlaying: null, wall: clocks.wall() },
    });
  }

  /**
   * The first sound of samples that stand beside each other: they begin to be heard. Once a page; a page that was loaded
   * anew has them heard once more. A first impression begins with its own tap, and samples that come one by one with
   * their fit.
   */
  function soundStarted(): void {
    const trial = stage.trial();
    if ((stage.kind() !== 'comparing' && stage.at() !== 'together') || clock.since(trial) !== null) return;
    clock.start(trial);
    addOnTheWay({ kind: 'plays', times: { sincePlaying: null, wall: clocks.wall() } });
  }

  function soundInterrupted(what: Interruption): void {
    const report = reported();
    addOnTheWay({
      kind: 'interrupted',
      what,
      times: { sincePlaying: clock.since(stage.trial()), wall: clocks.wall() },
      ...(report ? { sound: report } : {}),
    });
  }

  function addOnTheWay(
    act:
      | { kind: 'plays'; times: PhoneTimes }
      | { kind: 'interrupted'; what: Interruption; times: PhoneTimes; sound?: SoundReport },
  ): void {
    queue.add({ id: newId(), trial: stage.trial(), presentation: stage.presentation(), ...act });
    sender.kick();
    update();
  }

  /** What the player says of this place, as it travels. */
  function reported(): SoundReport | null {
    const report = player.report();
    if (!report) return null;
    const { heardMs, contextRate, switches } = report;
    return { heardMs: heardMs.map((heard) => Math.round(heard)), rate: contextRate, switches };
  }

  element.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.hasAttribute('data-act')) return;
    event.preventDefault();
    // A second tap, or a second tab: the first act stands until the server has answered.
    if (isBusy()) return;
    const act = actOf(form, event.submitter);
    queue.add(act);
    problems?.replaceChildren();
    goAhead();
    sender.kick();
    update();
  });

  function actOf(form: HTMLFormElement, button: HTMLElement | null): Act {
    const fields: [string, string][] = [];
    new FormData(form).forEach((value, name) => {
      if (typeof value === 'string') fields.push([name, value]);
    });
    if (button instanceof HTMLButtonElement && button.name) fields.push([button.name, button.value]);
    const trial = fields.find(([name]) => name === 'trial')?.[1] ?? '';
    const kind = fields.find(([name]) => name === 'kind')?.[1] ?? '';
    const times: PhoneTimes = {
      sincePlaying: beforePlaying.includes(kind) ? null : clock.since(trial),
      wall: clocks.wall(),
    };
    if (form.hasAttribute('data-starts')) clock.start(trial);
    if (kind === 'plays') exposure.start(trial);
    const act = actFromForm(fields, newId(), times, (scale) => touches.of(trial, scale));
    const sound = ['heard', 'answer', 'rate', 'grade'].includes(act.kind) ? reported() : null;
    return sound ? ({ ...act, sound } as Act) : act;
  }

  // Another tab has kept or settled an act.
  window.addEventListener('storage', () => {
    if (queue.size() > 0) sender.kick();
    update();
  });
  window.addEventListener('online', () => sender.kick());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'visible') return;
    line.wake();
    sender.kick();
  });
  window.addEventListener('pageshow', (event) => {
    if (event.persisted) line.wake();
  });
  prepareStopPanel(async () => {
    const until = performance.now() + lastWait;
    while (queue.size() > 0 && performance.now() < until) await new Promise((resolve) => setTimeout(resolve, 50));
  }, player.silence);
  answering.shown();
  grading.shown();
  impression.shown();
  player.shown();
  goAhead();
  resume();
  sender.kick();
  update();
}

const newId = (): string => newActId((bytes) => crypto.getRandomValues(bytes));
