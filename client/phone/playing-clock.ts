/** Measures from the tap after which a sample may play. Knows nothing of time before its page was loaded. */
export interface PlayingClock {
  /** The tap `fits` of a presentation of this trial; in a first impression, where that starts nothing, `plays`. */
  start(trial: string): void;
  /** Milliseconds since the last start of this trial; null when there was none, or when it is absurdly long ago. */
  since(trial: string): number | null;
}

/** More than a day is no listening time; the schema of the wire refuses it. */
const longest = 86_400_000;

export function createPlayingClock(monotonic: () => number): PlayingClock {
  let started: { trial: string; at: number } | null = null;
  return {
    start(trial) {
      started = { trial, at: monotonic() };
    },
    since(trial) {
      if (started?.trial !== trial) return null;
      const passed = Math.max(0, monotonic() - started.at);
      return passed <= longest ? passed : null;
    },
  };
}
