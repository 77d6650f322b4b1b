/** The slow ring around a code. */

/** How much of the ring is drawn, 0 … 1. Who wants no motion sees it change by quarters. */
export function ringShare(passed: number, total: number, still: boolean): number {
  const share = total > 0 ? Math.min(1, Math.max(0, passed / total)) : 1;
  return still ? Math.floor(share * 4) / 4 : share;
}

export interface RingParts {
  ring: SVGElement | null;
  /** Milliseconds that have passed by now. */
  passed(): number;
  total: number;
  /** Called once, when the time is over. */
  over(): void;
}

/** Draws the ring on until its time is over. Answers with what stops it. */
export function runRing({ ring, passed, total, over }: RingParts): () => void {
  const gone = ring?.querySelector('.gone');
  // A ring that nothing draws on isn't shown: a page without script, or a phone that doesn't know when it began.
  ring?.setAttribute('data-runs', '');
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  let timer: ReturnType<typeof setTimeout> | undefined;
  let frame = 0;

  const draw = (): void =>
    gone?.setAttribute('stroke-dashoffset', String(1 - ringShare(passed(), total, still.matches)));
  // The end by a timer: no frame is drawn while the page is out of sight.
  const watch = (): void => {
    const left = total - passed();
    if (left > 0) {
      timer = setTimeout(watch, left);
      return;
    }
    stop();
    draw();
    over();
  };
  const stop = (): void => {
    clearTimeout(timer);
    cancelAnimationFrame(frame);
    document.removeEventListener('visibilitychange', look);
  };
  // Timers come late on a phone that slept.
  const look = (): void => {
    clearTimeout(timer);
    watch();
  };
  const on = (): void => {
    draw();
    frame = requestAnimationFrame(on);
  };
  document.addEventListener('visibilitychange', look);
  on();
  watch();
  return stop;
}
