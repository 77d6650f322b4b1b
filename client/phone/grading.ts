import { say } from '../../shared/words/say';
import { isFilled } from './filled';
import { prepareGradeLine } from './grade-line';
import { type Leaves, prepareLeaves } from './leaves';

/** Samples that are graded. Says how much is filled in, and lets nothing go before it is whole. */
export interface Grading {
  /** A place was put on the page, or a part of it anew. */
  shown(): void;
}

export function prepareGrading(element: HTMLElement): Grading {
  let open: { name: string; leaves: Leaves } | null = null;
  const formHere = (): HTMLFormElement | null => element.querySelector<HTMLFormElement>('form[data-grading]');

  element.addEventListener('change', ({ target }) => {
    if (target instanceof HTMLInputElement && target.closest('[data-ticks]')) standAlone(target);
  });
  element.addEventListener('input', () => {
    const form = formHere();
    if (form) showFilled(form);
  });
  // A phone's keyboard would send the whole form with its one big key.
  element.addEventListener('keydown', (event) => {
    const { target } = event;
    if (event.key !== 'Enter' || !(target instanceof HTMLInputElement) || target.type === 'submit') return;
    const form = target.closest<HTMLFormElement>('form[data-grading]');
    if (!form || target.type !== 'number') return;
    event.preventDefault();
    (wanting(form, target) ?? form.querySelector<HTMLElement>('.confirm'))?.focus();
  });

  return {
    shown() {
      const form = formHere();
      if (!form) return;
      for (const scale of form.querySelectorAll<HTMLElement>('[data-line]')) prepareGradeLine(scale);
      if (form.querySelector('.leaf')) {
        const name = ['trial', 'presentation']
          .map((field) => form.querySelector<HTMLInputElement>(`[name="${field}"]`)?.value)
          .join('/');
        open = { name, leaves: prepareLeaves(form, open?.name === name ? open.leaves.open() : null) };
      }
      showFilled(form);
    },
  };
}

/** “None of these” stands alone: ticking it unticks the words, and ticking a word unticks it. */
function standAlone(box: HTMLInputElement): void {
  if (!box.checked) return;
  const none = box.hasAttribute('data-none');
  for (const other of box.closest('[data-ticks]')?.querySelectorAll<HTMLInputElement>('input') ?? []) {
    if (other !== box && (none || other.hasAttribute('data-none'))) other.checked = false;
  }
  box.dispatchEvent(new Event('input', { bubbles: true }));
}

/** The next number after this one that is still empty. */
function wanting(form: HTMLFormElement, after: HTMLElement): HTMLElement | null {
  const numbers = [...form.querySelectorAll<HTMLInputElement>('input[type="number"]')];
  const at = numbers.indexOf(after as HTMLInputElement);
  return [...numbers.slice(at + 1), ...numbers.slice(0, at)].find(({ value }) => value === '') ?? null;
}

/** Counted are samples where there are several, else what is asked about the one. */
function showFilled(form: HTMLFormElement): void {
  const cards = [...form.querySelectorAll('.graded-card')].filter((card) => card.querySelector('.scale'));
  const items = cards.length > 1 ? cards : [...form.querySelectorAll('.scale')];
  const done = items.filter((item) =>
    item.matches('.scale') ? isFilled(item) : [...item.querySelectorAll('.scale')].every(isFilled),
  ).length;
  form.dataset.whole = done === items.length ? 'yes' : 'no';
  const line = form.querySelector<HTMLElement>('[data-filled]');
  if (!line) return;
  const words = say(cards.length > 1 ? 'grading.filled.samples' : 'grading.filled.items', {
    done,
    count: items.length,
  });
  line.hidden = items.length === 1;
  if (line.textContent !== words) line.textContent = words;
}
