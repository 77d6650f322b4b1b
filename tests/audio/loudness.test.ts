import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { GatedLoudness } from '../../server/audio/gated-loudness';
import { kWeighting } from '../../server/audio/k-weighting';
import { channelWeights, type Loudness, LoudnessMeter, measure, measureStream } from '../../server/audio/loudness';
import type { Pcm } from '../../server/audio/pcm';
import { SoundError } from '../../server/audio/sound-error';
import { programme } from './programme';
import { amplitude, burst, inBoth, type Stretch, sineWave, stretches, tapered } from './signals';

/**
 * EBU Tech 3341 (2023), Loudness metering: “EBU Mode” metering, table 1: minimum requirements test signals. All tones are
 * sines of 1 kHz in phase in left and right, levels are of peaks, ±0.1 LU; true peak +0.2/−0.4 dB. Cases 7 and 8 are
 * recordings and can't be made here.
 */
const within = (value: number | null, expected: number, tolerance = 0.1): void => {
  expect(value).not.toBeNull();
  expect(Math.abs((value as number) - expected), `${value} beside ${expected}`).toBeLessThanOrEqual(tolerance);
};
const truePeakWithin = (samples: Float32Array, rate: number, expected: number): Loudness => {
  const measured = measure({ rate, channels: [samples, samples] });
  expect(measured.truePeak).not.toBeNull();
  expect(measured.truePeak as number).toBeLessThanOrEqual(expected + 0.2);
  expect(measured.truePeak as number).toBeGreaterThanOrEqual(expected - 0.4);
  return measured;
};
const places = Array.from({ length: 20 }, (_, i) => i);

describe.each([44_100, 48_000, 96_000])('EBU Tech 3341, table 1, at %i Hz', (rate) => {
  test.each([
    [1, -23],
    [2, -33],
  ])('case %i: 20 s at %f: momentary, short-term and integrated alike', (_, level) => {
    const measured = measure(inBoth(rate, [[20, level]]));
    within(measured.momentaryMax, level);
    within(measured.shortTermMax, level);
    within(measured.integrated, level);
    expect(measured.seconds).toBe(20);
    expect(measured.reason).toBeUndefined();
  });

  test.each<[number, Stretch[]]>([
    [
      3,
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
    ],
    [
      4,
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
    ],
    [
      5,
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
    ],
  ])('case %i: the gates', (_, list) => {
    within(loudnessOf(rate, list).integrated, -23);
  });

  test('case 6: 5.0, surrounds count 1.41', () => {
    const at = (level: number) => stretches(rate, [[20, level]]);
    const channels = [at(-28), at(-28), at(-24), at(-30), at(-30)];
    const meter = new GatedLoudness(rate, channelWeights[5] as readonly number[]);
    meter.push(channels, none);
    within(meter.integrated, -23);
    // And by the whole meter as 5.1: what is in the channel of low-frequency effects doesn't count.
    const withEffects = [...channels.slice(0, 3), at(-3), ...channels.slice(3)];
    within(measure({ rate, channels: withEffects.map((one) => one.subarray(0, rate)) }).integrated, -23);
  });

  test('case 9: short-term stays at −23 after 3 s', () => {
    const list = Array.from({ length: 5 }, (): Stretch[] => [
      [1.34, -20],
      [1.66, -30],
    ]).flat();
    const { shortTerm } = live(rate, list);
    expect(shortTerm.slice(0, 299)).toEqual(Array(299).fill(null));
    for (const value of shortTerm.slice(299)) within(value, -23);
  });

  test('case 10: the highest short-term is −23 wherever 3 s begin', () => {
    for (const i of places) {
      within(
        loudnessOf(rate, [
          [i * 0.15, null],
          [3, -23],
          [1, null],
        ]).shortTermMax,
        -23,
      );
    }
  });

  test('case 11: short-term peaks at −38, −37 … −19 in turn', () => {
    const lists = places.map((i): Stretch[] => [
      [i * 0.15, null],
      [3, -38 + i],
      [3 - i * 0.15, null],
    ]);
    let level = -38;
    for (const { shortTermMax } of loudnessAfter(rate, lists)) within(shortTermMax, level++);
  });

  test('case 12: momentary stays at −23 after 1 s', () => {
    const list = Array.from({ length: 25 }, (): Stretch[] => [
      [0.18, -20],
      [0.22, -30],
    ]).flat();
    const { momentary } = live(rate, list);
    expect(momentary.slice(0, 39)).toEqual(Array(39).fill(null));
    for (const value of momentary.slice(99)) within(value, -23);
  });

  test('case 13: the highest momentary is −23 wherever 0.4 s begin', () => {
    for (const i of places) {
      within(
        loudnessOf(rate, [
          [i * 0.02, null],
          [0.4, -23],
          [1, null],
        ]).momentaryMax,
        -23,
      );
    }
  });

  test('case 14: momentary peaks at −38, −37 … −19 in turn', () => {
    const lists = places.map((i): Stretch[] => [
      [i * 0.02, null],
      [0.4, -38 + i],
      [0.4 - i * 0.02, null],
    ]);
    let level = -38;
    for (const { momentaryMax } of loudnessAfter(rate, lists)) within(momentaryMax, level++);
  });

  test.each([
    [15, 4, 0.5, 0, -6],
    [16, 4, 0.5, 45, -6],
    [17, 6, 0.5, 60, -6],
    [18, 8, 0.5, 67.5, -6],
    [19, 4, 1.41, 45, 3],
  ])('case %i: a sine of rate/%i, %f of full scale at %f°: true peak', (_, part, peak, degrees, expected) => {
    const sine = sineWave(rate, 0.5, rate / part, 0, (degrees * Math.PI) / 180).map((sample) => peak * sample);
    truePeakWithin(tapered(sine, rate), rate, expected);
  });

  test.each([
    [20, 0],
    [21, 1],
    [22, 2],
    [23, 3],
  ])('case %i: a burst between samples, offset %i: true peak', (_, offset) => {
    const { samplePeak } = truePeakWithin(burst(rate, offset), rate, 0);
    // Or the case would be none: read from the samples alone, offset 2 is 2.5 dB too low.
    if (offset === 2) expect(samplePeak).toBeLessThan(-2);
  });

  test('X3: 20 s at −80 have no loudness, and the meter says why', () => {
    const measured = measure(inBoth(rate, [[20, -80]]));
    expect(measured.integrated).toBeNull();
    expect(measured.reason).toBe('Too quiet: nothing in it is above −70 LUFS.');
    within(measured.momentaryMax, -80);
  });

  test('X4: silence after the sound takes the blocks at the edge with it', () => {
    // From the definition: 97 whole blocks, and three with 3/4, 1/2 and 1/4 of the power: 10 log₁₀(98.5/100) = −0.066.
    within(
      loudnessOf(rate, [
        [10, -23],
        [10, null],
      ]).integrated,
      -23.06,
      0.05,
    );
  });

  test('X8: a copy 0.1 dB louder reads 0.1 LU louder', () => {
    const samples = programme(1, 6, rate, 1).channels[0] as Float32Array;
    const louder = samples.map((sample) => sample * amplitude(0.1));
    const read = (one: Float32Array) => measure({ rate, channels: [one, one] });
    const [one, other] = [read(samples), read(louder)];
    for (const figure of ['integrated', 'momentaryMax', 'shortTermMax', 'samplePeak', 'truePeak'] as const) {
      within((other[figure] as number) - (one[figure] as number), 0.1, 0.01);
    }
  });

  test('X10: the same in 16 bits, in 24 bits and in floating point', () => {
    const samples = programme(2, 3, rate, 1).channels[0] as Float32Array;
    const inBits = (bits: number) => samples.map((sample) => Math.round(sample * 2 ** (bits - 1)) / 2 ** (bits - 1));
    const exact = measure({ rate, channels: [samples, samples] }).integrated as number;
    for (const bits of [16, 24]) {
      const channels = [inBits(bits), inBits(bits)];
      within(measure({ rate, channels }).integrated, exact, 0.01);
    }
  });
});

/** The loudness alone, without peaks, which take most of the meter's time. */
function loudnessOf(rate: number, list: readonly Stretch[]): GatedLoudness {
  const meter = new GatedLoudness(rate, [1, 1]);
  meter.push(inBoth(rate, list).channels, none);
  return meter;
}

/** The same after each of several lists, all of one stream. */
function* loudnessAfter(rate: number, lists: ReadonlyArray<readonly Stretch[]>): Generator<GatedLoudness> {
  const meter = new GatedLoudness(rate, [1, 1]);
  const samples = stretches(rate, lists.flat());
  let total = 0;
  for (const list of lists) {
    total += list.reduce((sum, [duration]) => sum + duration, 0);
    const piece = samples.subarray(meter.frames, Math.round(total * rate));
    meter.push([piece, piece], none);
    yield meter;
  }
}

/** What a live meter shows every 10 ms. */
function live(rate: number, list: readonly Stretch[]) {
  const meter = new GatedLoudness(rate, [1, 1]);
  const samples = stretches(rate, list);
  const momentary: Array<number | null> = [];
  const shortTerm: Array<number | null> = [];
  while (meter.frames < samples.length) {
    const piece = samples.subarray(meter.frames, meter.frames + rate / 100);
    meter.push([piece, piece], none);
    momentary.push(meter.momentaryNow);
    shortTerm.push(meter.shortTermNow);
  }
  return { momentary, shortTerm };
}

const none = (): never => {
  throw new Error('not a number');
};

describe('ITU-R BS.1770-5 (2023), Annex 1', () => {
  const oneOfTwo = (samples: Float32Array, rate = 48_000): Pcm => ({
    rate,
    channels: [samples, new Float32Array(samples.length)],
  });

  test.each([44_100, 48_000, 88_200, 96_000])(
    'X1: 997 Hz at full scale in one channel reads −3.01 at %i Hz',
    (rate) => {
      within(measure(oneOfTwo(sineWave(rate, 10, 997), rate)).integrated, -3.01, 0.02);
    },
  );

  test('X2: case 1 of Tech 3341 in the left channel alone reads 3 LU less', () => {
    within(measure(oneOfTwo(stretches(48_000, [[20, -23]]))).integrated, -26, 0.05);
  });

  test.each([
    [25, -14.1],
    [100, -4.84],
    [500, -3.66],
    [1000, -3],
    [2000, -0.63],
    [10_000, 0.34],
  ])('X5: %i Hz at full scale in one channel reads %f at 48 kHz', (frequency, expected) => {
    // From the coefficients of the Recommendation by the formula of a response, worked out apart from this code.
    const meter = new GatedLoudness(48_000, [1, 1]);
    meter.push(oneOfTwo(sineWave(48_000, 10, frequency)).channels, none);
    within(meter.integrated, expected);
  });

  test.each([16_000, 22_050, 32_000, 88_200, 176_400, 192_000])(
    'X6: case 1 of Tech 3341 reads −23 at %i Hz',
    (rate) => {
      within(measure(inBoth(rate, [[4, -23]])).integrated, -23, 0.05);
    },
  );

  test('X9: turning one channel over changes nothing', () => {
    const samples = stretches(48_000, [[5, -23]]);
    const turned = measure({ rate: 48_000, channels: [samples, samples.map((sample) => -sample)] });
    expect(turned).toEqual(measure({ rate: 48_000, channels: [samples, samples] }));
  });

  test('one channel is measured as it is played: as its own copy in two', () => {
    const samples = programme(3, 4, 48_000, 1).channels[0] as Float32Array;
    const stereo = measure({ rate: 48_000, channels: [samples, samples] });
    const mono = measure({ rate: 48_000, channels: [samples] });
    for (const [figure, value] of Object.entries(stereo)) within(mono[figure as 'integrated'], value as number, 1e-9);
    within(measure({ rate: 48_000, channels: [stretches(48_000, [[5, -23]])] }).integrated, -23);
  });

  test.each([
    [3, [1, 1, 1]],
    [4, [1, 1, 1.41, 1.41]],
    [5, [1, 1, 1, 1.41, 1.41]],
    [6, [1, 1, 1, 0, 1.41, 1.41]],
  ])('each of %i channels counts what table 3 says', (count, weights) => {
    const rate = 48_000;
    const samples = stretches(rate, [[1, -23]]);
    const silence = new Float32Array(samples.length);
    for (const [place, weight] of weights.entries()) {
      const channels = Array.from({ length: count }, (_, c) => (c === place ? samples : silence));
      const { integrated, samplePeak } = measure({ rate, channels });
      if (weight === 0) expect(integrated).toBeNull();
      else within(integrated, -26 + 10 * Math.log10(weight), 0.02);
      within(samplePeak, -23, 0.001);
    }
  });

  test('the relative gate lies 10 LU below the mean, the absolute one at −70', () => {
    // 5 s at −20 and 5 s at −32.6: the mean of all blocks is −22.78, which lets −32.6 in. At −33 it is −22.80, which doesn't;
    // then 47 whole blocks and 1.5 of three at the edge are left of 50.
    within(
      loudnessOf(48_000, [
        [5, -20],
        [5, -32.6],
      ]).integrated,
      -22.78,
      0.03,
    );
    within(
      loudnessOf(48_000, [
        [5, -20],
        [5, -33],
      ]).integrated,
      -20.13,
      0.03,
    );
    within(loudnessOf(48_000, [[2, -69.9]]).integrated, -69.9);
    expect(loudnessOf(48_000, [[2, -70.1]]).integrated).toBeNull();
  });

  test('a relative gate that would lie below −70 gives way to −70', () => {
    // 5 s at −69 and 5 s at −75: the mean of what is above −70 is −69, and −79 must not let −75 in.
    within(
      measure(
        inBoth(48_000, [
          [5, -69],
          [5, -75],
        ]),
      ).integrated,
      -69,
    );
  });
});

describe('beside the definition, written out plainly', () => {
  /** BS.1770-5, Annex 1, formulas 2 to 7: everything kept, every block added up by itself. */
  function plainly({ rate, channels }: Pcm): { integrated: number; momentary: number[] } {
    const power = new Float64Array(channels[0]?.length ?? 0);
    for (const channel of channels) {
      let signal = Float64Array.from(channel);
      for (const { b0, b1, b2, a1, a2 } of kWeighting(rate)) {
        const given = signal;
        signal = new Float64Array(given.length);
        for (let i = 0; i < given.length; i++) {
          const [x0, x1, x2] = [
            given[i] as number,
            i < 1 ? 0 : (given[i - 1] as number),
            i < 2 ? 0 : (given[i - 2] as number),
          ];
          const [y1, y2] = [i < 1 ? 0 : (signal[i - 1] as number), i < 2 ? 0 : (signal[i - 2] as number)];
          signal[i] = b0 * x0 + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
        }
      }
      for (let i = 0; i < signal.length; i++) power[i] = (power[i] as number) + (signal[i] as number) ** 2;
    }
    const lufs = (mean: number) => -0.691 + 10 * Math.log10(mean);
    const mean = (list: ArrayLike<number>) => {
      let sum = 0;
      for (let i = 0; i < list.length; i++) sum += list[i] as number;
      return sum / list.length;
    };
    const blocks: number[] = [];
    for (let start = 0; start + 0.4 * rate <= power.length; start += 0.1 * rate) {
      blocks.push(mean(power.subarray(start, start + 0.4 * rate)));
    }
    const audible = blocks.filter((block) => lufs(block) > -70);
    const counted = audible.filter((block) => lufs(block) > lufs(mean(audible)) - 10);
    return { integrated: lufs(mean(counted)), momentary: blocks.map(lufs) };
  }

  test.each([44_100, 48_000])('programme whose level goes up and down by 60 dB, at %i Hz', (rate) => {
    for (let seed = 1; seed <= 3; seed++) {
      const { channels } = programme(seed, 3.7, rate);
      for (const [c, channel] of channels.entries()) {
        for (let i = 0; i < channel.length; i++) {
          channel[i] = (channel[i] as number) * amplitude(-30 + 30 * Math.sin((seed * i) / rate + c));
        }
      }
      const plain = plainly({ rate, channels });
      const measured = measure({ rate, channels });
      within(measured.integrated, plain.integrated, 1e-9);
      // The highest of ten times as many places is that or a little more.
      expect(measured.momentaryMax).toBeGreaterThanOrEqual(Math.max(...plain.momentary) - 1e-9);
      expect(measured.momentaryMax).toBeLessThan(Math.max(...plain.momentary) + 1.5);
    }
  });
});

describe('what can’t be measured', () => {
  test('X7: less than 0.4 s is too short', () => {
    const measured = measure(inBoth(48_000, [[0.399, -23]]));
    expect(measured).toMatchObject({ integrated: null, momentaryMax: null, shortTermMax: null });
    expect(measured.reason).toBe('Too short: loudness needs 0.4 s of sound.');
    within(measured.samplePeak, -23, 0.01);
    within(measured.truePeak, -23, 0.01);
    within(measure(inBoth(48_000, [[0.4, -23]])).integrated, -23);
  });

  test('nothing at all is too short, and has no peak', () => {
    expect(measure({ rate: 48_000, channels: [new Float32Array(0)] })).toEqual({
      seconds: 0,
      integrated: null,
      momentaryMax: null,
      shortTermMax: null,
      samplePeak: null,
      truePeak: null,
      reason: 'Too short: loudness needs 0.4 s of sound.',
    });
  });

  test('less than 3 s has no short-term loudness', () => {
    const measured = measure(inBoth(48_000, [[2.9, -23]]));
    expect(measured.shortTermMax).toBeNull();
    within(measured.integrated, -23);
    expect(measured.reason).toBe('Too short for short-term loudness, which needs 3 s.');
  });

  test('digital silence is said to be that', () => {
    const measured = measure(inBoth(48_000, [[4, null]]));
    expect(measured).toMatchObject({ integrated: null, momentaryMax: null, samplePeak: null, truePeak: null });
    expect(measured.reason).toBe('Too quiet: all of it is digital silence.');
  });

  const refusal = (run: () => unknown): SoundError => {
    try {
      run();
    } catch (error) {
      if (error instanceof SoundError) return error;
    }
    throw new Error('not refused');
  };

  test.each([
    ['not a number', Number.NaN],
    ['infinite', Number.POSITIVE_INFINITY],
    ['infinite downwards', Number.NEGATIVE_INFINITY],
  ])('X10: a sample that is %s is refused, with its place', (_, sample) => {
    for (const channel of [0, 1, 3, 5]) {
      const channels = Array.from({ length: 6 }, () => new Float32Array(48_000));
      (channels[channel] as Float32Array)[12_345] = sample;
      const error = refusal(() => measure({ rate: 48_000, channels }));
      expect(error.code).toBe('not-numbers');
      expect(error.message).toContain(`at 0.257 s in channel ${channel + 1}`);
    }
  });

  test('X10: no channels, more than six, and rates without room for the filter', () => {
    expect(refusal(() => new LoudnessMeter(48_000, 0)).code).toBe('no-channels');
    expect(refusal(() => new LoudnessMeter(48_000, 7)).code).toBe('too-many-channels');
    for (const rate of [0, 7999, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(refusal(() => new LoudnessMeter(rate, 2)).code).toBe('rate');
    }
  });

  test('pieces with a channel missing, or channels of two lengths', () => {
    const meter = new LoudnessMeter(48_000, 2);
    expect(refusal(() => meter.push([new Float32Array(10)])).code).toBe('broken');
    expect(refusal(() => meter.push([new Float32Array(10), new Float32Array(9)])).code).toBe('broken');
  });
});

describe('piece by piece', () => {
  const pcm = programme(4, 3.3, 44_100);
  const [samples, other] = pcm.channels as [Float32Array, Float32Array];
  const whole = measure(pcm);

  test('gives the same as all at once, however it is cut', () => {
    const cuts = fc.array(fc.integer({ min: 1, max: 20_000 }), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(cuts, (sizes) => {
        const meter = new LoudnessMeter(44_100, 2);
        for (let at = 0, turn = 0; at < samples.length; turn++) {
          const to = Math.min(samples.length, at + (sizes[turn % sizes.length] as number) + (turn > 500 ? 5000 : 0));
          meter.push([samples.subarray(at, to), other.subarray(at, to)]);
          at = to;
        }
        const measured = meter.result();
        for (const [figure, value] of Object.entries(whole)) {
          within(measured[figure as 'integrated'], value as number, 1e-9);
        }
      }),
      { numRuns: 12 },
    );
  });

  test('and to ask in between changes nothing', () => {
    const meter = new LoudnessMeter(44_100, 2);
    meter.push([samples.subarray(0, 50_000), other.subarray(0, 50_000)]);
    expect(meter.result()).toEqual(meter.result());
    meter.push([samples.subarray(50_000), other.subarray(50_000)]);
    expect(meter.result()).toEqual(whole);
  });

  test('from a stream', async () => {
    async function* blocks() {
      for (let at = 0; at < samples.length; at += 4096) {
        yield [samples.subarray(at, at + 4096), other.subarray(at, at + 4096)];
      }
    }
    expect(await measureStream({ rate: 44_100, channels: 2, blocks: blocks() })).toEqual(whole);
  });
});
