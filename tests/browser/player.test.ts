import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { measure } from '../../server/audio/loudness';
import { wav24Of } from '../client/phone/player/wav24-of';
import { launchChromium } from '../support/chromium';
import type { Lab, Rendered, Session, Tap } from './player-lab';
import { openPlayerPage, type PlayerPage, type ServedSound } from './player-page';

/**
 * What the player really gives out, sample by sample: its own code renders offline in the test browser, and every sample
 * of the coded sounds says which presentation it belongs to and which place of it.
 */

let browser: Browser;
let context: BrowserContext;
let page: Page;
let server: PlayerPage;
const errors: string[] = [];

beforeAll(async () => {
  [browser, server] = await Promise.all([launchChromium(), openPlayerPage()]);
  context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  page = await context.newPage();
  page.on('pageerror', (error) => errors.push(error.message));
  await page.goto(server.url);
  await page.waitForFunction(() => 'lab' in window);
});
afterAll(async () => {
  await browser?.close();
  await server?.close();
  expect(errors).toEqual([]);
});

declare const window: { lab: Lab };

const floats = (text: string): Float32Array => {
  const bytes = Buffer.from(text, 'base64');
  return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
};
interface Heard {
  left: Float32Array;
  right: Float32Array;
  facts: Rendered;
}
async function rendered(count: number, soundFrames: number, session: Session): Promise<Heard> {
  const facts = await page.evaluate(([howMany, frames, how]) => window.lab.renderCoded(howMany, frames, how), [
    count,
    soundFrames,
    session,
  ] as const);
  return { left: floats(facts.left), right: floats(facts.right), facts };
}

/** What the coded sounds of player-lab.ts have at full gain. */
const levelOf = (index: number): number => 2 ** index / 8;
const valueAt = (position: number): number => (position + 1) / 2 ** 18;

interface Faults {
  /** Samples that belong to more than one presentation, or to another place than the timeline's. */
  mixedOrMoved: number[];
  /** Largest difference between two samples of the left channel, as a share of the level that is fading. */
  steepest: number;
  /** Which presentation each sample belongs to; −1 in silence. */
  who: Int8Array;
}

/** Looks at every sample, knowing nothing but the coding, the first sound and where the loop comes round. */
function look({ left, right }: Heard, count: number, timeline: (frame: number) => number): Faults {
  const who = new Int8Array(left.length).fill(-1);
  const mixedOrMoved: number[] = [];
  let steepest = 0;
  for (let frame = 0; frame < left.length; frame++) {
    const l = left[frame] ?? 0;
    const r = right[frame] ?? 0;
    if (frame > 0) {
      const before = left[frame - 1] ?? 0;
      const level = levelOf(Math.max(who[frame - 1] ?? -1, 0));
      const own =
        l === 0 ? level : Math.min(...[...Array(count).keys()].map(levelOf).filter((one) => one >= l * 0.999));
      steepest = Math.max(steepest, Math.abs(l - before) / Math.max(level, own));
    }
    if (l === 0 && r === 0) continue;
    // Whatever the gain is, the ratio of the channels is that of one presentation at one place.
    const expected = valueAt(timeline(frame));
    const index = [...Array(count).keys()].find(
      (one) => Math.abs(r * levelOf(one) - l * expected) <= 4e-7 * l * expected,
    );
    if (index === undefined) mixedOrMoved.push(frame);
    else who[frame] = index;
    // At full gain it is the very value.
    if (index !== undefined && l === levelOf(index) && Math.abs(r - expected) > 1e-9) mixedOrMoved.push(frame);
  }
  return { mixedOrMoved, steepest, who };
}

const firstSound = ({ left }: Heard): number => left.findIndex((sample) => sample !== 0);
/** Whom the samples belong to, one after the other, with silences left out. */
function order(who: Int8Array): number[] {
  const seen: number[] = [];
  for (const one of who) if (one >= 0 && seen[seen.length - 1] !== one) seen.push(one);
  return seen;
}

/** So steep is a raised cosine at most, from one sample to the next. */
const slope = (rate: number, fadeMs: number): number => Math.PI / 2 / ((rate * fadeMs) / 1000);

describe.each([
  [48_000, 10],
  [44_100, 10],
  [96_000, 5],
  [48_000, 20],
])('at %i with fades of %i ms', (rate, fadeMs) => {
  const soundFrames = Math.round(rate * 0.7) + 13;

  test('another part is taken after a silence, from where it is asked to begin, and comes round in itself', async () => {
    const [from, to] = [Math.round(rate * 0.2), Math.round(rate * 0.45)];
    const resumeAt = Math.round(rate * 0.1);
    const heard = await rendered(2, soundFrames, {
      rate,
      frames: Math.round(rate * 1.2),
      loops: true,
      fadeMs,
      taps: [
        { at: 0, does: 'start', index: 0 },
        { at: Math.round(rate * 0.3), does: 'part', index: 1, from, to, resumeAt },
      ],
    });
    const { left, right } = heard;
    const whole: number[] = [];
    const parts: number[] = [];
    for (const [frame, l] of left.entries()) {
      const r = right[frame] ?? 0;
      if (l === 0 && r === 0) continue;
      // One presentation at one place, whatever the gain: the first before, the second after.
      const place = (index: number) => (r / l) * levelOf(index) * 2 ** 18 - 1;
      const [first, second] = [place(0), place(1)];
      const isWhole = (value: number) => Math.abs(value - Math.round(value)) < 0.02 && value > -0.5;
      if (
        parts.length === 0 &&
        isWhole(first) &&
        frame < rate * 0.4 &&
        Math.round(first) < rate * 0.4 &&
        !(whole.length > 0 && Math.round(first) !== (whole[whole.length - 1] ?? 0) + 1)
      ) {
        whole.push(Math.round(first));
      } else {
        expect(isWhole(second)).toBe(true);
        parts.push(Math.round(second));
      }
    }
    expect(whole.length).toBeGreaterThan(rate * 0.25);
    expect(parts[0]).toBeGreaterThanOrEqual(from + resumeAt);
    expect(parts[0]).toBeLessThanOrEqual(from + resumeAt + 2);
    expect(Math.min(...parts.slice(rate / 2))).toBeGreaterThanOrEqual(from);
    expect(parts.every((place) => place >= from && place < to)).toBe(true);
    // The fade of the one is over before that of the other begins.
    const lastOfFirst = left.findIndex((l, frame) => frame > rate * 0.2 && l === 0);
    expect(lastOfFirst).toBeGreaterThan(0);
    expect(left.slice(lastOfFirst, lastOfFirst + 4).every((l) => l === 0)).toBe(true);
  });

  test('switches, loops, pauses and goes on: no sample is moved or mixed, and no step is steeper than a fade', async () => {
    // Taps as they come, quick ones within a fade among them; drawn once, by this seed.
    let state = rate + fadeMs;
    const draw = (below: number): number => {
      state = (state * 48_271) % 2_147_483_647;
      return state % below;
    };
    const taps: Tap[] = [{ at: 0, does: 'start', index: draw(3) }];
    let at = 0;
    while (at < rate * 2) {
      at += draw(5) < 3 ? draw(Math.round(rate * 0.25)) : draw(Math.round(rate * 0.015));
      taps.push({ at, does: 'select', index: draw(3) });
    }
    const heard = await rendered(3, soundFrames, { rate, frames: Math.round(rate * 2.3), loops: true, fadeMs, taps });
    // The first sample of a piece is faded to nothing, so the first sound is its second.
    const start = firstSound(heard) - 1;
    const faults = look(heard, 3, (frame) => (frame - start) % soundFrames);
    expect(faults.mixedOrMoved).toEqual([]);
    // Where a switch falls on the seam of the loop two fades multiply: cos⁴, which is 1.3 times as steep as cos².
    expect(faults.steepest).toBeLessThanOrEqual(slope(rate, fadeMs) * 1.3 + 1e-6);
    expect(order(faults.who).length - 1).toBe(heard.facts.switches);
    expect(heard.facts.switches).toBeGreaterThan(5);
    expect(order(faults.who).pop()).toBe(taps[taps.length - 1]?.index);
    // Heard is what sounded, by the clock.
    const sounded = [0, 1, 2].map((index) => (faults.who.filter((one) => one === index).length / rate) * 1000);
    for (const [index, ms] of heard.facts.heardMs.entries()) {
      // Each fade, and each time round, begins and ends with a silent sample.
      expect(ms - (sounded[index] ?? 0)).toBeLessThan(1 + (heard.facts.switches * 4 * 1000) / rate);
      expect(ms).toBeGreaterThanOrEqual((sounded[index] ?? 0) - 1e-6);
    }
  });

  test('a window begins once, ends at its very sample, and is silent from then on', async () => {
    const to = Math.round(rate * 0.4) + 7;
    const taps: Tap[] = [{ at: 0, does: 'start' }];
    const heard = await rendered(1, soundFrames, { rate, frames: rate, loops: false, to, fadeMs, taps });
    const start = firstSound(heard) - 1;
    const faults = look(heard, 1, (frame) => frame - start);
    expect(faults.mixedOrMoved).toEqual([]);
    expect(faults.steepest).toBeLessThanOrEqual(slope(rate, fadeMs) * 1.001 + 1e-6);
    const last = heard.left.findLastIndex((sample) => sample !== 0);
    expect(last - start).toBe(to - 2);
    expect(heard.facts.heardMs[0]).toBeCloseTo((to / rate) * 1000, 6);
  });

  test('stopped and started again: it goes on from where it faded out', async () => {
    const taps: Tap[] = [
      { at: 0, does: 'start', index: 1 },
      { at: Math.round(rate * 0.3), does: 'stop' },
      { at: Math.round(rate * 0.5), does: 'start', index: 0 },
      { at: Math.round(rate * 0.8), does: 'stop' },
      // Before the fade is over.
      { at: Math.round(rate * 0.8) + 200, does: 'start', index: 1 },
    ];
    const heard = await rendered(2, soundFrames, { rate, frames: Math.round(rate * 1.1), loops: true, fadeMs, taps });
    const fade = Math.round((rate * fadeMs) / 1000);
    const starts: number[] = [];
    const ends: number[] = [];
    for (let frame = 1, silent = 99; frame < heard.left.length; frame++) {
      const sounds = heard.left[frame] !== 0;
      if (sounds && silent > 4) starts.push(frame - 1);
      silent = sounds ? 0 : silent + 1;
      if (silent === 5 && starts.length > ends.length) ends.push(frame - 4);
    }
    expect(starts).toHaveLength(3);
    expect(ends).toHaveLength(2);
    const [first = 0, second = 0, third = 0] = starts;
    const [end = 0, secondEnd = 0] = ends;
    const resumedAt = end - fade - first;
    const again = (resumedAt + (secondEnd - fade - second)) % soundFrames;
    const faults = look(heard, 2, (frame) => {
      if (frame < second) return (frame - first) % soundFrames;
      return frame < third ? (resumedAt + frame - second) % soundFrames : (again + frame - third) % soundFrames;
    });
    expect(faults.mixedOrMoved).toEqual([]);
    expect(order(faults.who)).toEqual([1, 0, 1]);
    expect(faults.steepest).toBeLessThanOrEqual(slope(rate, fadeMs) * 1.001 + 1e-6);
  });
});

test('stopped within the fade of each start, at many times: fades stand apart, and none is lost', async () => {
  const rate = 44_100;
  const taps = Array.from({ length: 60 }, (_, at): Tap[] => [
    { at: at * 7_680, does: 'start' },
    { at: at * 7_680 + 1_280, does: 'select', index: at % 2 },
    { at: at * 7_680 + 1_408, does: 'stop' },
  ]).flat();
  const heard = await rendered(2, 30_011, { rate, frames: 60 * 7_680, loops: true, fadeMs: 20, taps });
  const silences = [...heard.left.keys()].filter((at) => at % 7_680 === 7_000);
  expect(silences.every((at) => heard.left[at] === 0)).toBe(true);
  expect(heard.facts.heardMs.reduce((sum, ms) => sum + ms, 0)).toBeGreaterThan(60 * 20);
});

test('a part of a sound loops by its own points', async () => {
  const rate = 48_000;
  const taps: Tap[] = [{ at: 0, does: 'start' }];
  const session = { rate, frames: rate, loops: true, from: 5_001, to: 17_000, fadeMs: 10, taps };
  const heard = await rendered(2, 30_000, session);
  const start = firstSound(heard) - 1;
  const faults = look(heard, 2, (frame) => 5_001 + ((frame - start) % 11_999));
  expect(faults.mixedOrMoved).toEqual([]);
  expect(faults.steepest).toBeLessThanOrEqual(slope(rate, 10) * 1.001 + 1e-6);
});

test('the first sound comes as long after the tap for one presentation as for another, and so does a switch', async () => {
  const rate = 48_000;
  const first = await Promise.all(
    [0, 1, 2].map(async (index) => {
      const taps: Tap[] = [{ at: 128 * (5 + 31 * index), does: 'start', index }];
      return (
        firstSound(await rendered(3, 40_000, { rate, frames: 16_384, loops: true, fadeMs: 10, taps })) -
        (taps[0]?.at ?? 0)
      );
    }),
  );
  expect(new Set(first).size).toBe(1);
  // 30 ms, and what an offline context leaves unsaid of the card.
  expect(first[0]).toBe(1 + Math.ceil(0.04 * rate));
});

test('cut off, it is silent at once, and what was scheduled never sounds', async () => {
  const rate = 48_000;
  const taps: Tap[] = [
    { at: 0, does: 'start', index: 0 },
    { at: 12_800, does: 'select', index: 1 },
    { at: 13_056, does: 'cut' },
  ];
  const heard = await rendered(2, 40_000, { rate, frames: 30_000, loops: true, fadeMs: 10, taps });
  expect(heard.left.findLastIndex((sample) => sample !== 0)).toBeLessThan(13_056);
  expect(heard.facts.heardMs[1]).toBe(0);
});

test('what is heard has the loudness of the file, to 0.05 dB, and so have all files that were matched', async () => {
  const rate = 48_000;
  const frames = 3 * rate;
  let state = 7;
  const white = (): number => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 1_073_741_823.5 - 1;
  };
  const target = -23;
  // Noise of three colours, each brought to the target by the meter.
  const sounds = [0.2, 0.7, 0.93].map((memory): ServedSound => {
    const channels = [0, 1].map(() => {
      let last = 0;
      return Float32Array.from({ length: frames }, () => (last = memory * last + (1 - memory) * white()));
    });
    const gain = 10 ** ((target - (measure({ rate, channels }).integrated ?? 0)) / 20);
    const [left = [], right = []] = channels.map((samples) =>
      [...samples].map((one) => Math.round(one * gain * 2 ** 23)),
    );
    return {
      body: wav24Of(
        rate,
        left.map((one, at): [number, number] => [one, right[at] ?? 0]),
      ),
    };
  });
  const manifest = server.serve(sounds, { rate, frames });
  for (const index of [0, 1, 2]) {
    const taps: Tap[] = [{ at: 0, does: 'start', index }];
    const facts = await page.evaluate(([address, how]) => window.lab.renderLoaded(address, how), [
      manifest,
      { rate, frames: frames + 2_048, loops: false, fadeMs: 10, taps },
    ] as const);
    const channels = [floats(facts.left), floats(facts.right)].map((samples) =>
      samples.subarray(1_440, 1_440 + frames),
    );
    expect(Math.abs((measure({ rate, channels }).integrated ?? 0) - target)).toBeLessThan(0.05);
  }
});

describe('fetching', () => {
  const frames: [number, number][] = Array.from({ length: 400 }, (_, at) => [at * 9_001 - 1_800_000, -at]);
  const body = (shift: number) =>
    wav24Of(
      48_000,
      frames.map(([left, right]): [number, number] => [left + shift, right]),
    );
  const sumOf = (shift: number) => frames.reduce((sum, [left]) => sum + (left + shift) / 2 ** 23, 0);
  const load = (manifest: string) => page.evaluate((address) => window.lab.load(address), manifest);

  beforeEach(() => {
    server.asked.length = 0;
  });

  test('every file comes, is held against its checksum, and the progress goes up to all', async () => {
    const loaded = await load(server.serve([{ body: body(0) }, { body: body(5) }], { rate: 48_000, frames: 400 }));
    if ('fault' in loaded) throw new Error(loaded.fault);
    expect(loaded.frames).toBe(400);
    expect(loaded.sums[0]).toBeCloseTo(sumOf(0), 6);
    expect(loaded.sums[1]).toBeCloseTo(sumOf(5), 6);
    expect(loaded.shares[0]).toBe(0);
    expect(loaded.shares[loaded.shares.length - 1]).toBe(1);
    expect(loaded.shares).toEqual([...loaded.shares].sort((one, other) => one - other));
    expect(server.asked).toHaveLength(3);
  });

  test.each([['flipped'], ['short'], ['long'], ['broken-off'], ['unavailable']] as const)(
    'a file that comes %s is fetched again',
    async (fault) => {
      const sounds = [{ body: body(0), spoilt: [fault, fault] }, { body: body(1) }];
      const loaded = await load(server.serve(sounds, { rate: 48_000, frames: 400 }));
      expect(loaded).toMatchObject({ frames: 400 });
      expect(server.asked).toHaveLength(5);
    },
  );

  test.each([
    ['flipped', 'corrupt', 4],
    ['broken-off', 'network', 4],
    ['gone', 'wrong', 2],
  ] as const)('a file that comes %s three times is given up: %s', async (spoilt, fault, asked) => {
    const sounds = [{ body: body(0), spoilt: [spoilt, spoilt, spoilt] }, { body: body(1) }];
    expect(await load(server.serve(sounds, { rate: 48_000, frames: 400 }))).toEqual({ fault });
    expect(server.asked).toHaveLength(asked);
  });

  test('a sound of another length or rate than was announced is refused, and so is a list that is none', async () => {
    expect(await load(server.serve([{ body: body(0) }], { rate: 44_100, frames: 400 }))).toEqual({ fault: 'wrong' });
    expect(await load(server.serve([{ body: body(0) }], { rate: 48_000, frames: 401 }))).toEqual({ fault: 'wrong' });
    expect(await load('/client/icon.svg')).toEqual({ fault: 'wrong' });
  });
});
