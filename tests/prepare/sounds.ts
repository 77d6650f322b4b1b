import type { Pcm } from '../../server/audio/pcm';
import type { SoundInMind } from '../../server/demo/staff-browser';
import { programme } from '../audio/programme';
import { type Coding, wavBytes } from '../audio/wav-bytes';

/** Invented programme as files, for what is brought to the sound page. */

export const wavOf = (pcm: Pcm, name = 'take.wav', coding: Coding = 's24'): SoundInMind => ({
  name,
  bytes: Uint8Array.from(wavBytes({ rate: pcm.rate, channels: pcm.channels, coding })),
});

/** The same programme at another level, later, of another tuning, or with other channels. */
export function take({
  seed = 1,
  seconds = 3,
  gain = 0,
  late = 0,
  rate = 16_000,
  channels = 2,
  dull = 0,
}: {
  seed?: number;
  seconds?: number;
  gain?: number;
  late?: number;
  rate?: number;
  channels?: number;
  dull?: number;
} = {}): Pcm {
  const whole = programme(seed, seconds, rate, channels);
  const factor = 10 ** (gain / 20);
  return {
    rate,
    channels: whole.channels.map((channel) => {
      const moved = new Float32Array(channel.length);
      for (let i = late; i < channel.length; i++) {
        moved[i] = ((channel[i - late] as number) + dull * (channel[i - late - 1] ?? 0)) * factor;
      }
      return moved;
    }),
  };
}
