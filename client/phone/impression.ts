import type { PhoneTimes } from '../../shared/wire';
import type { KeptClock } from './kept-clock';
import { type Leaves, prepareLeaves } from './leaves';
import { runRing } from './ring';
import type { Touches } from './touches';

/** The rest before a first impression, its window, and its scales. */
export interface Impression {
  /** A place was put on the page, or a part of it anew. */
  shown(): void;
  /** Whether a sample plays now, so that nothing may be spoken. */
  plays(): boolean;
}

export interface ImpressionParts {
  element: HTMLElement;
  rest: KeptClock;
  /** Since the first sound. */
  exposure: KeptClock;
  touches: Touches;
  /** The two clocks at this moment, for a touch of this trial. */
  now(trial: string): PhoneTimes;
  changed(): void;
}

export function prepareImpression({ element, rest, exposure, touches, now, changed }: ImpressionParts): Impression {
  let stop = (): void => undefined;
  let leaves: { trial: string; leaves: Leaves } | null = null;

  const kind = (): string => element.querySelector<HTMLElement>('[data-kind]')?.dataset.kind ?? '';
  const trialOf = (form: ParentNode): string => form.querySelector<HTMLInputElement>('[name="trial"]')?.value ?? '';
  const ringOf = (place: ParentNode) => {
    const ring = place.querySelector<SVGElement>('[data-ring]');
    return { ring, total: Number(ring?.dataset.seconds ?? 0) * 1000 };
  };
  /** The words for afterwards take the place of those before; from then on they may be spoken. */
  const sayOver = (place: ParentNode): void => {
    const line = place.querySelector<HTMLElement>('[data-over]');
    if (!line) return;
    line.setAttribute('aria-live', 'polite');
    line.textContent = line.dataset.over ?? '';
  };

  const resting = (form: HTMLFormElement): void => {
    const name = [trialOf(form), form.querySelector<HTMLInputElement>('[name="presentation"]')?.value].join('/');
    if (rest.passed(name) === null) rest.start(name);
    form.toggleAttribute('data-resting', true);
    stop = runRing({
      ...ringOf(element),
      passed: () => rest.passed(name) ?? 0,
      over() {
        form.toggleAttribute('data-resting', false);
        sayOver(element);
      },
    });
  };

  const rating = (form: HTMLFormElement): void => {
    const trial = trialOf(form);
    leaves = { trial, leaves: prepareLeaves(form, leaves?.trial === trial ? leaves.leaves.open() : null) };
    // Without a start that this phone knows of, the words of the page stand as they are.
    if (!form.hasAttribute('data-window') || exposure.passed(trial) === null) return;
    stop = runRing({
      ...ringOf(form),
      passed: () => exposure.passed(trial) ?? 0,
      over() {
        form.removeAttribute('data-window');
        sayOver(form);
        changed();
      },
    });
  };

  element.addEventListener('input', (event) => {
    const { target } = event;
    if (!(target instanceof HTMLInputElement) || !target.name.startsWith('scale_') || !target.form) return;
    const trial = trialOf(target.form);
    touches.note(trial, target.name.slice('scale_'.length), now(trial));
  });

  return {
    shown() {
      stop();
      stop = () => undefined;
      const here = kind();
      if (here !== 'resetting' && here !== 'paused') rest.forget();
      const form = element.querySelector<HTMLFormElement>('form[data-act]');
      if (form && here === 'resetting') resting(form);
      if (form && here === 'rating') rating(form);
    },
    plays: () => kind() === 'listening' || element.querySelector('form[data-window]') !== null,
  };
}
