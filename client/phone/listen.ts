import type { Act, PhoneTimes } from '../../shared/wire';
import { actFromForm } from './act-from-form';
import { newActId } from './act-id';
import { createActQueue } from './act-queue';
import { createActSender } from './act-sender';
import { createDrafts } from './drafts';
import { openLine } from './line';
import { createPlayingClock } from './playing-clock';
import { showProblem } from './problems';
import { keepScreenOn } from './screen';
import { usableShelf } from './shelf';
import { createStage } from './stage';
import { showStatus } from './status';
import { prepareStopPanel } from './stop-panel';

/** How long the line in the bar waits before it says that there is no connection: most gaps are shorter. */
const gap = 2_000;
/** How long stopping waits for an answer that is still on its way. */
const lastWait = 4_000;

/** Takes over the forms of the place: each becomes an act that is kept first and then sent until it is acknowledged. */
export function prepareListening(element: HTMLElement): void {
  const statusElement = document.getElementById('status');
  const problems = document.getElementById('problems');
  const csrf = document.querySelector<HTMLMetaElement>('meta[name="csrf"]')?.content ?? '';
  const queue = createActQueue(usableShelf(() => localStorage));
  const drafts = createDrafts(usableShelf(() => sessionStorage));
  const clock = createPlayingClock(() => performance.now());
  const stage = createStage(element, drafts);
  const screenStaysOn = keepScreenOn();
  let connected = true;
  let gapTimer: ReturnType<typeof setTimeout> | undefined;

  const sender = createActSender({
    queue,
    send: (act) => line.send(act),
    settled(_act, reply) {
      if (reply.ok) drafts.forget();
      if (reply.place) stage.show(reply.place, false);
      if (!reply.ok && problems) showProblem(problems, reply.error.message, stage.kind() === 'listening');
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
      stage.show(place, asked);
      update();
    },
    connected(yes) {
      if (yes) {
        clearTimeout(gapTimer);
        gapTimer = undefined;
        connected = true;
        sender.kick();
        update();
      } else {
        gapTimer ??= setTimeout(() => {
          connected = false;
          update();
        }, gap);
      }
    },
  });

  function update(): void {
    stage.lock(queue.size() > 0);
    if (!statusElement) return;
    showStatus(statusElement, { sender: sender.state(), connected, kind: stage.kind(), screenStaysOn });
  }

  element.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.hasAttribute('data-act')) return;
    event.preventDefault();
    // A second tap, or a second tab: the first act stands until the server has answered.
    if (queue.size() > 0) return;
    const act = actOf(form, event.submitter);
    queue.add(act);
    problems?.replaceChildren();
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
    const beforePlaying = kind === 'fits' || kind === 'refit';
    const times: PhoneTimes = { sincePlaying: beforePlaying ? null : clock.since(trial), wall: Date.now() };
    if (kind === 'fits') clock.start(trial);
    return actFromForm(
      fields,
      newActId((bytes) => crypto.getRandomValues(bytes)),
      times,
    );
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
  });
  sender.kick();
  update();
}
