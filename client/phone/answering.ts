import type { WordKey } from '../../shared/words/en';
import { say } from '../../shared/words/say';

/** Answers that are several taps together: so many are picked, or all are put in order. */
export interface Answering {
  /** A place was put on the page, or a part of it anew. */
  shown(): void;
}

/** Nothing is sent before it is whole: what is missing could otherwise be sent by a key. */
export function prepareAnswering(element: HTMLElement): Answering {
  const show = (): void => {
    for (const set of element.querySelectorAll<HTMLElement>('[data-pick]')) showPicked(set);
    for (const set of element.querySelectorAll<HTMLElement>('[data-order]')) showOrder(set);
  };
  element.addEventListener('input', show);
  // The second of two quick taps would take back what the first one did.
  element.addEventListener(
    'click',
    (event) => {
      const several = event.target instanceof Element && event.target.closest('.several');
      if (!several || event.detail < 2) return;
      event.preventDefault();
      event.stopPropagation();
    },
    true,
  );
  element.addEventListener('click', ({ target }) => {
    const button = target instanceof Element ? target.closest<HTMLElement>('[data-placing] > button') : null;
    const set = button?.closest<HTMLElement>('[data-order]');
    const select = button?.parentElement?.querySelector('select');
    if (!set || !select || button?.getAttribute('aria-disabled') === 'true') return;
    tapInOrder([...set.querySelectorAll('select')], select);
    select.dispatchEvent(new Event('input', { bubbles: true }));
  });
  element.addEventListener(
    'submit',
    (event) => {
      const form = event.target;
      if (!(form instanceof HTMLFormElement) || form.dataset.whole !== 'no') return;
      event.preventDefault();
      event.stopPropagation();
    },
    true,
  );
  return { shown: show };
}

const whole = (set: HTMLElement, yes: boolean): void => {
  const form = set.closest('form');
  if (form) form.dataset.whole = yes ? 'yes' : 'no';
};

/** Once as many are picked as are asked for, no other can be; one that is tapped again is taken back. */
function showPicked(set: HTMLElement): void {
  const boxes = [...set.querySelectorAll<HTMLInputElement>('input[type="checkbox"]')];
  const size = Number(set.dataset.pick);
  const picked = boxes.filter(({ checked }) => checked).length;
  for (const box of boxes) {
    box.disabled = picked >= size && !box.checked;
    box.closest('label')?.toggleAttribute('data-rest', box.disabled);
  }
  whole(set, picked === size);
}

/** A sample without a place gets the next one; one that has a place loses it, and those after it close up. */
export function tapInOrder(all: readonly { value: string }[], tapped: { value: string }): void {
  const at = Number(tapped.value);
  if (at === 0) {
    tapped.value = String(Math.max(0, ...all.map(({ value }) => Number(value))) + 1);
    return;
  }
  tapped.value = '';
  for (const one of all) if (Number(one.value) > at) one.value = String(Number(one.value) - 1);
}

function showOrder(set: HTMLElement): void {
  const selects = [...set.querySelectorAll('select')];
  const places = selects.map(({ value }) => value).filter((value) => value !== '');
  for (const select of selects) {
    const row = select.closest('[data-placing]');
    const button = row?.querySelector('button');
    const label = row?.querySelector('label');
    if (!button || !label) continue;
    label.hidden = true;
    button.hidden = false;
    button.setAttribute('aria-pressed', String(select.value !== ''));
    const given = button.querySelector('.given');
    if (given) given.textContent = select.value === '' ? '' : say(`order.${select.value}` as WordKey);
  }
  whole(set, places.length === selects.length && new Set(places).size === places.length);
}
