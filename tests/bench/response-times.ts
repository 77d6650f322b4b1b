import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Bench } from '../../server/demo/bench';
import { bringAndMatch, bySound } from '../../server/demo/brought-sound';
import type { Browser } from '../../server/demo/browser';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { adjusted } from '../../stats/adjust-p';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { differsBy, type Timed } from './response-times/permuted-times';
import { serveTimed, type Told } from './response-times/timed-house';
import { unlikeSounds } from './response-times/unlike-sounds';

/**
 * Whether the time of an answer tells two samples apart: a server in a process of its own, a panel one seat after the
 * other, every request of phone and desk that is about a sample timed, and the times of the one prototype compared with
 * those of the other by turning round, trial by trial, which was which. In some trials, drawn by a seed, the server is made to wait a little
 * at every request about the second prototype, so that it is seen what would have been found.
 * `node tests/bench/bench.mjs response-times`, some five minutes.
 */

interface Design {
  name: string;
  plan: PlanInMind;
  listeners: number;
  /** Scored trials of a listener, and samples in each. */
  trials: number;
  samples: number;
}

/** How often each page is looked at in one moment. */
const asked = 5;

/** Nothing in half of the trials; else microseconds, at every request about the second prototype. */
const planted = [100, 200, 400, 800];

async function measure(): Promise<number> {
  const base = {
    question: 'Which one?',
    prototypes: [
      { name: 'First', units: [{ serial: 'F-1' }] },
      { name: 'Second', units: [{ serial: 'S-1' }] },
    ],
  };
  const designs: Design[] = [
    {
      name: 'paired preference, codes of the day',
      plan: {
        ...base,
        title: 'Pairs',
        audiences: [{ name: 'Home', listeners: 8 }],
        turns: 60,
        handling: 'day-code',
      },
      listeners: 6,
      trials: 60,
      samples: 2,
    },
    {
      name: 'ABX, fresh carriers by two people',
      plan: {
        ...base,
        title: 'ABX',
        method: 'abx',
        audiences: [{ name: 'Home', listeners: 4 }],
        trials: 40,
        handling: 'two-person',
      },
      listeners: 4,
      trials: 40,
      samples: 3,
    },
    {
      name: 'paired preference, renders: a file in one channel of 16 bits, and a louder one in two of 32',
      plan: {
        ...base,
        title: 'Renders',
        prototypes: base.prototypes.map(({ name }) => ({ name, units: [] })),
        audiences: [{ name: 'Home', listeners: 4 }],
        turns: 60,
        handling: 'server',
        playback: 'renders',
        excerpts: ['Noise'],
      },
      listeners: 4,
      trials: 60,
      samples: 2,
    },
  ];
  console.log('Time of the answers to requests about a sample: second prototype against first.');
  console.log(
    'No commit waited for the disk, whose noise would hide what is looked for. Seeds fixed, but for the draw.',
  );
  let code = 0;
  for (const design of designs) if (!(await report(design, await times(design)))) code = 1;
  return code;
}

/** Plays the design through; every request about a sample with its time. */
async function times({ plan, listeners }: Design): Promise<Timed[]> {
  const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-times-'));
  const house = fork(fileURLToPath(import.meta.url), ['house', folder]);
  try {
    const { origin, code } = await told(house);
    return await play(origin, code, plan, listeners);
  } finally {
    house.kill();
    await new Promise((resolve) => house.once('close', resolve));
    rmSync(folder, { recursive: true, force: true });
  }
}

const told = (house: ChildProcess): Promise<Told> =>
  new Promise((resolve, reject) => {
    house.once('message', (message) => resolve(message as Told));
    house.once('close', () => reject(new Error('The server ended before it served.')));
  });

/** The sample that a request is about: which prototype, at which moment of the trial, and what is planted. */
interface About {
  trial: string;
  second: boolean;
  moment: string;
  planted: number;
}

/** Times requests while something is being done about a sample. */
class Clock {
  readonly all: Timed[] = [];
  private about: About | null = null;
  /** Whose trials are under way: the machine may be slower at one listener than at the next. */
  who = '';

  watch(browser: Browser, routeOf: (method: string, path: string) => string | null): void {
    const ask = browser.request.bind(browser);
    browser.request = async (method, path, parts = {}) => {
      const route = routeOf(method, path);
      const kind = /"kind":"(\w+)"/.exec(parts.body ?? '')?.[1] ?? '';
      return this.timed(route, kind, (wait) => ask(method, path, { ...parts, headers: { ...parts.headers, ...wait } }));
    };
    const fetched = browser.file.bind(browser);
    browser.file = (path) => this.timed(routeOf('GET', path), '', (wait) => fetched(path, wait));
  }

  private async timed<T>(
    route: string | null,
    kind: string,
    ask: (headers: Record<string, string>) => Promise<T>,
  ): Promise<T> {
    const { about } = this;
    if (!about || route === null) return ask({});
    // The same header of the same length at both prototypes: nothing but the waiting differs.
    const wait = String(about.second ? about.planted : 0).padStart(4, '0');
    const began = performance.now();
    const answer = await ask({ 'x-wait-us': wait });
    const { trial, second, moment, planted } = about;
    const ms = performance.now() - began;
    this.all.push({ route, ms, trial, second, stratum: `${this.who} ${route} ${kind} ${moment}`, planted });
    return answer;
  }

  async during<T>(about: About | null, work: () => Promise<T>): Promise<T> {
    this.about = about;
    try {
      return await work();
    } finally {
      this.about = null;
    }
  }
}

const account = (name: string) => ({ name, password: 'a long enough password' });
const passphrase = 'four words for sealing';

async function play(origin: string, code: string, plan: PlanInMind, listeners: number): Promise<Timed[]> {
  const random = seededRandom(plan.title);
  const clock = new Clock();
  const bench = new Bench();
  const desk = new DeskBrowser(origin, { name: 'Ada' });
  await desk.makeFirstAccount(code, account('Ada'));
  const study = await desk.plan(plan);
  await desk.lock(study, passphrase);
  const preparer = new StaffBrowser(origin, { name: 'Bo' });
  await preparer.acceptInvitation(await desk.invite(), account('Bo'));
  const brought = plan.playback === 'renders' ? unlikeSounds(plan.prototypes.map(({ name }) => name)) : [];
  const heard = bySound(brought);
  if (brought.length > 0) await bringAndMatch(desk, study, brought);
  else bench.load(await preparer.openSheet(study, passphrase));
  const { joinCode } = await desk.openSession(study);
  clock.watch(desk, (method, path) =>
    method === 'POST' ? 'desk: a sample goes out or comes back' : /\/run\/part$/.test(path) ? 'desk: look' : null,
  );
  const second = (sample: string) => bench.inside(sample).prototype === 'Second';

  for (let number = 1; number <= listeners; number++) {
    const phone = new PhoneBrowser(origin, { name: `Listener ${number}` });
    clock.who = phone.name;
    await phone.join(joinCode, { alias: `Listener ${number}`, audience: plan.audiences[0]?.name ?? '' });
    await phone.checkIn();
    await phone.consent();
    clock.watch(phone, (method, path) =>
      path === '/listen/act'
        ? 'phone: act'
        : path.startsWith('/listen/sound/')
          ? 'phone: a sound'
          : method === 'GET'
            ? 'phone: look'
            : null,
    );
    let [trial, arm, handed] = ['', 0, 0];
    for (;;) {
      const seen = await desk.look(study);
      const arrival = seen.arrivals.find(({ seat }) => seat !== null)?.seat;
      const hand = seen.hands.find(({ form }) => form !== null);
      if (arrival) await desk.act(arrival);
      else if (hand?.form) {
        const { form, give, takeBack } = hand;
        // What is given counts; where nothing is, what comes back.
        const moment = give === null ? 'back' : takeBack === null ? 'out' : 'swap';
        if (moment === 'out') handed++;
        const about = {
          trial: `${number} ${handed}`,
          second: second(give ?? takeBack ?? ''),
          moment,
          planted: arm,
        };
        await clock.during(hand.practice ? null : about, () => desk.act(form));
      }
      await phone.reload();
      const place = phone.place;
      if (!place || ['finished', 'out', 'closed'].includes(place.kind)) break;
      if (place.trial !== trial) {
        trial = place.trial;
        arm = random.below(2) === 0 ? 0 : (planted[random.below(planted.length)] as number);
      }
      const about = (sample: string, moment: string): About | null =>
        place.practice ? null : { trial, second: second(sample), moment, planted: arm };
      if (place.kind === 'sound-check') await phone.checkSound();
      else if (place.kind === 'comparing') {
        const { sounds } = await phone.askForSounds(place);
        const fetches: (() => Promise<unknown>)[] = [];
        const what: string[] = [];
        for (const { presentation, url } of sounds) {
          const prototype = heard((await phone.file(url)).bytes);
          what.push(prototype);
          const of = place.practice
            ? null
            : { trial, second: prototype === 'Second', moment: String(presentation), planted: arm };
          for (let n = 0; n < asked; n++) fetches.push(() => clock.during(of, () => phone.file(url)));
        }
        for (const one of shuffled(fetches, random)) await one();
        const answer = place.answers[random.below(place.answers.length)] as string;
        const picked = what[place.cards.indexOf(answer)];
        const moment = `answer ${place.answers.indexOf(answer)}`;
        const of = place.practice ? null : { trial, second: picked === 'Second', moment, planted: arm };
        await clock.during(of, () => phone.postAct(phone.whole({ kind: 'answer', answer, ...reportOf(place) })));
      } else if (place.kind === 'fitting') {
        const { code: sample, presentation } = place;
        // Looks are taken as they come and not read: what is timed is the server.
        const look = {
          desk: () => desk.request('GET', `${study}/run/part`),
          phone: () => phone.request('GET', '/listen'),
        };
        const act = (kind: 'refit' | 'fits' | 'heard') => () => phone.postAct(phone.whole({ kind, presentation }));
        const looks = Array.from({ length: asked }, () => [look.desk, look.phone]).flat();
        // In an order of its own each time; acts in theirs.
        await clock.during(about(sample, `${presentation} before`), async () => {
          for (const one of [...shuffled([...looks, act('refit')], random), act('fits')]) await one();
        });
        await clock.during(about(sample, `${presentation} after`), async () => {
          for (const one of [...shuffled(looks, random), act('heard')]) await one();
        });
      } else if (place.kind === 'asking') {
        const answer = place.answers[random.below(place.answers.length)] as string;
        const moment = `answer ${place.answers.indexOf(answer)}`;
        await clock.during(about(answer, moment), () => phone.postAct(phone.whole({ kind: 'answer', answer })));
      } else if (place.kind === 'words') await phone.postAct(phone.whole({ kind: 'words', words: [] }));
      else if (place.kind !== 'waiting')
        throw new Error(`The phone is at a place that nobody expected: ${place.kind}.`);
    }
  }
  return clock.all;
}

function report({ name, listeners, trials, samples }: Design, all: readonly Timed[]): boolean {
  console.log(`\n${name}: ${listeners} listeners × ${trials} trials × ${samples} samples, ${all.length} requests`);
  const routes = [...new Set(all.map(({ route }) => route))].sort();
  const column = (text: string, width = 18) => text.padEnd(width);
  console.log(
    column('', 42) +
      ['requests', 'ratio', 'p of the mean', 'p of the quickest', 'p of slow ones'].map((one) => column(one)).join(''),
  );
  const plain = routes.map((route) => {
    const own = all.filter((one) => one.route === route && one.planted === 0);
    const found = differsBy(own);
    console.log(
      column(route, 42) +
        [
          String(own.length),
          found.ratio.toFixed(4),
          ...[found.mean, found.quickest, found.slow].map((p) => p.toFixed(4)),
        ]
          .map((one) => column(one))
          .join(''),
    );
    return found;
  });
  const ps = adjusted(
    plain.flatMap(({ mean, quickest, slow }) => [mean, quickest, slow]),
    'holm',
  );
  const least = Math.min(...ps);
  const clean = least >= 0.01;
  console.log(
    clean
      ? `nothing found at p < 0.01 (least of ${ps.length} tests after Holm: ${least.toFixed(3)})`
      : `FOUND: p = ${least.toFixed(4)} after Holm over ${ps.length} tests`,
  );
  console.log(
    'planted; the delay as a share of the mean time there, and p of the quickest after Holm over the routes:',
  );
  const found: number[] = [];
  for (const wait of planted) {
    const own = (route: string) => all.filter((one) => one.route === route && one.planted === wait);
    const ps = adjusted(
      routes.map((route) => differsBy(own(route)).quickest),
      'holm',
    );
    const caught = ps.some((p) => p < 0.01);
    if (caught) found.push(wait);
    console.log(`  ${wait} µs at the second prototype: ${caught ? 'found' : 'not found'}`);
    for (const [i, route] of routes.entries()) {
      const times = own(route);
      const share = wait / (10 * (times.reduce((sum, { ms }) => sum + ms, 0) / times.length));
      const cells = [String(times.length), `${share.toFixed(1)} %`, (ps[i] as number).toFixed(4)];
      console.log(column(`    ${route}`, 42) + cells.map((one) => column(one)).join(''));
    }
  }
  // From which on every one was found.
  const [sure] = planted.filter((wait) => planted.every((other) => other < wait || found.includes(other)));
  console.log(
    found.length === 0
      ? 'no planted delay was found'
      : `the smallest planted delay that was found: ${found[0]} µs; ${sure === undefined ? 'not all above it' : `all from ${sure} µs on`}`,
  );
  return clean && found.length > 0;
}

if (process.argv[2] === 'house') await serveTimed();
else process.exitCode = await measure();
