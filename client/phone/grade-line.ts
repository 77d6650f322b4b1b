/**
 * A line that is tapped or dragged beside the number that it stands for. Nothing is set before it was touched, and what a
 * finger does that only scrolls sets nothing.
 */

/** Further than that sideways, a finger drags; a tap stays within. */
const slack = 6;

/** What a scale stores of a place on its line, in steps from its low end. */
export function stepAt(share: number, steps: number): number {
  return Math.round(Math.min(1, Math.max(0, share)) * steps);
}

/** Whether two words beside each other run into one another, as in large type: then each takes a line of its own. */
function overlap(words: readonly Element[]): boolean {
  const boxes = words.map((word) => word.getBoundingClientRect()).sort((a, b) => a.left - b.left);
  return boxes.some((box, at) => box.right + 4 > (boxes[at + 1]?.left ?? Number.POSITIVE_INFINITY));
}

export function prepareGradeLine(scale: HTMLElement): void {
  const input = scale.querySelector<HTMLInputElement>('input[type="number"]');
  const track = scale.querySelector<HTMLElement>('[data-track]');
  const less = scale.querySelector<HTMLButtonElement>('[data-less]');
  const more = scale.querySelector<HTMLButtonElement>('[data-more-of]');
  if (!input || !track || !less || !more) return;
  const per = scale.dataset.tenths === 'true' ? 10 : 1;
  const from = Math.round(Number(scale.dataset.from) * per);
  const steps = Math.round(Number(scale.dataset.to) * per) - from;
  const readAs = (step: number): string => ((from + step) / per).toFixed(per === 10 ? 1 : 0);
  const shareOf = (read: string): number => (Math.round(Number(read) * per) - from) / steps;

  const marker = document.createElement('span');
  marker.className = 'marker';
  const places = [...scale.querySelectorAll<HTMLElement>('.marks > li')].map((mark) => {
    const share = String(shareOf(mark.dataset.at ?? ''));
    mark.style.setProperty('--share', share);
    const tick = document.createElement('span');
    tick.className = 'tick';
    tick.style.setProperty('--share', share);
    return tick;
  });
  track.replaceChildren(...places, marker);
  const words = scale.querySelector<HTMLElement>('.marks');
  const long = words?.classList.contains('below') ?? true;
  const settle = (): void => {
    words?.classList.toggle('below', long);
    if (words && !long && overlap([...words.children])) words.classList.add('below');
  };
  scale.classList.add('tapped');
  for (const part of [track, less, more]) part.hidden = false;
  settle();
  new ResizeObserver(settle).observe(scale);

  const show = (): void => {
    const set = input.value !== '' && input.validity.valid;
    marker.hidden = !set;
    if (set) marker.style.setProperty('--share', String(shareOf(input.value)));
    less.disabled = !set || input.value === readAs(0);
    more.disabled = !set || input.value === readAs(steps);
  };
  const set = (value: string): void => {
    if (input.value === value) return;
    input.value = value;
    input.dispatchEvent(new Event('input', { bubbles: true }));
  };
  input.addEventListener('input', show);
  const by = (change: number) => () => {
    const step = Math.round(Number(input.value) * per) - from + change;
    if (input.value !== '' && step >= 0 && step <= steps) set(readAs(step));
  };
  less.addEventListener('click', by(-1));
  more.addEventListener('click', by(1));

  let finger: { id: number; x: number; before: string; drags: boolean } | null = null;
  const at = (event: PointerEvent): string => {
    const { left, width } = track.getBoundingClientRect();
    // The ends of the line lie as far inside as the marker is wide, so that both can be reached.
    const inset = Number.parseFloat(getComputedStyle(track).paddingLeft) || 0;
    return readAs(stepAt((event.clientX - left - inset) / Math.max(1, width - 2 * inset), steps));
  };
  track.addEventListener('pointerdown', (event) => {
    if (input.matches(':disabled') || event.button !== 0 || finger) return;
    finger = { id: event.pointerId, x: event.clientX, before: input.value, drags: false };
    track.setPointerCapture(event.pointerId);
  });
  track.addEventListener('pointermove', (event) => {
    if (finger?.id !== event.pointerId) return;
    finger.drags ||= Math.abs(event.clientX - finger.x) > slack;
    if (finger.drags) set(at(event));
  });
  track.addEventListener('pointerup', (event) => {
    if (finger?.id !== event.pointerId) return;
    finger = null;
    if (!input.matches(':disabled')) set(at(event));
  });
  track.addEventListener('pointercancel', (event) => {
    if (finger?.id !== event.pointerId) return;
    const { before } = finger;
    finger = null;
    // The page was scrolled.
    set(before);
  });
  show();
}
