/** The way to the sound card. One context lasts as long as the page, since phones allow few of them. */
export interface Output {
  /**
   * The context for sounds of this rate, running at that rate where the browser allows it, so that nothing is resampled.
   * To be called within a tap, or the browser holds the sound back.
   */
  open(rate: number): AudioContext;
  /** The rate that it really has; null while there is none. */
  rate(): number | null;
  /** Nothing plays for a while. */
  rest(): void;
  /** One that doesn't start: the next tap gets a new one. */
  discard(): void;
}

type ContextClass = new (options?: AudioContextOptions) => AudioContext;

export function createOutput(): Output {
  let context: AudioContext | null = null;
  let asked = 0;
  let resting: ReturnType<typeof setTimeout> | undefined;

  const discard = (): void => {
    clearTimeout(resting);
    context?.close().catch(() => undefined);
    context = null;
  };
  const wakeUp = (one: AudioContext): void => {
    // It may never be settled on a phone that is in a call; whoever plays looks at the clock instead.
    if (one.state !== 'running') one.resume().catch(() => undefined);
  };
  return {
    open(rate) {
      clearTimeout(resting);
      if (context && (asked !== rate || context.state === 'closed')) discard();
      context ??= make(rate);
      asked = rate;
      wakeUp(context);
      return context;
    },
    rate: () => context?.sampleRate ?? null,
    rest() {
      clearTimeout(resting);
      // Later, so that a fade is over.
      resting = setTimeout(() => {
        context?.suspend().catch(() => undefined);
      }, 500);
    },
    discard,
  };
}

function make(rate: number): AudioContext {
  const Context: ContextClass =
    window.AudioContext ?? (window as unknown as { webkitAudioContext: ContextClass }).webkitAudioContext;
  playsLikeMusic();
  try {
    return new Context({ sampleRate: rate, latencyHint: 'interactive' });
  } catch {
    return new Context();
  }
}

/** Where a page may say so, its sound is a programme, and not muted by the silent switch like a ringing phone. */
function playsLikeMusic(): void {
  const { audioSession } = navigator as unknown as { audioSession?: { type: string } };
  try {
    if (audioSession) audioSession.type = 'playback';
  } catch {
    // The switch is asked about before the first trial.
  }
}

/** Calls back once the audio clock has reached that second. A clock that stands calls nobody. */
export function wakeByClock(context: BaseAudioContext): (seconds: number, run: () => void) => () => void {
  return (seconds, run) => {
    let timer: ReturnType<typeof setTimeout>;
    const look = (): void => {
      const left = seconds - context.currentTime;
      if (left <= 0) run();
      else timer = setTimeout(look, context.state === 'running' ? Math.max(2, left * 1000) : 100);
    };
    timer = setTimeout(look, Math.max(0, (seconds - context.currentTime) * 1000));
    return () => clearTimeout(timer);
  };
}
