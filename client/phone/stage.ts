import type { Place } from '../../shared/wire';
import type { Drafts } from './drafts';

/** The part of the page that says where the listener is: shows a newer place, keeps what was typed, moves the focus. */
export interface Stage {
  /** `asked`: the server was asked just now, and so knows better than a place that ends a sitting. */
  show(place: Place, asked: boolean): void;
  kind(): string;
  /** Nothing can be sent from here while an act is on its way. */
  lock(locked: boolean): void;
}

const endings = ['finished', 'out', 'closed'];

export function createStage(element: HTMLElement, drafts: Drafts): Stage {
  const section = (): HTMLElement | null => element.querySelector<HTMLElement>('[data-kind]');
  const kind = (): string => section()?.dataset.kind ?? '';
  const hidden = (name: string): string =>
    element.querySelector<HTMLInputElement>(`input[name="${name}"]`)?.value ?? '';
  const name = (): string => [kind(), hidden('trial'), hidden('presentation')].join('/');
  const inputs = (): (HTMLInputElement | HTMLTextAreaElement)[] => [
    ...element.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>('input[type="radio"], textarea'),
  ];

  const restore = (): void => {
    const kept = new Map(drafts.of(name()));
    for (const input of inputs()) {
      const value = kept.get(input.name);
      if (value === undefined) continue;
      if (input instanceof HTMLInputElement) input.checked = input.value === value;
      else input.value = value;
    }
    markChosen();
  };
  /** For browsers without :has(): the confirm button appears after choosing. */
  const markChosen = (): void => {
    for (const form of element.querySelectorAll('form')) {
      form.toggleAttribute('data-chosen', form.querySelector(':checked') !== null);
    }
  };

  element.addEventListener('input', () => {
    const fields = inputs().flatMap((input): [string, string][] =>
      input instanceof HTMLInputElement && !input.checked ? [] : [[input.name, input.value]],
    );
    drafts.keep(name(), fields);
    markChosen();
  });
  restore();

  return {
    kind,
    show(place, asked) {
      const shown = Number(element.dataset.version);
      const newSitting = asked && place.version < shown && endings.includes(kind());
      if (!(place.version > shown || newSitting)) return;
      const before = name();
      const focused = document.activeElement;
      const held = focused instanceof HTMLElement && element.contains(focused) ? focused : null;
      element.dataset.version = String(place.version);
      element.innerHTML = place.html;
      restore();
      if (name() === before) {
        // The same place again: the finger stays where it was.
        if (held) (same(element, held) ?? heading())?.focus({ preventScroll: true });
        return;
      }
      window.scrollTo(0, 0);
      heading()?.focus({ preventScroll: true });
    },
    lock(locked) {
      element.classList.toggle('kept', locked);
      for (const button of element.querySelectorAll('button')) {
        if (locked) button.setAttribute('aria-disabled', 'true');
        else button.removeAttribute('aria-disabled');
      }
      for (const set of element.querySelectorAll('fieldset')) set.disabled = locked;
      for (const area of element.querySelectorAll('textarea')) area.readOnly = locked;
    },
  };
}

const heading = (): HTMLElement | null => document.getElementById('place-heading');

/** The same control in a new version of the part. */
function same(element: HTMLElement, control: HTMLElement): HTMLElement | null {
  if (control.id) return element.querySelector<HTMLElement>(`#${CSS.escape(control.id)}`);
  const name = control.getAttribute('name');
  const value = control.getAttribute('value');
  if (!name) return null;
  const valued = value === null ? '' : `[value="${CSS.escape(value)}"]`;
  return element.querySelector<HTMLElement>(`[name="${CSS.escape(name)}"]${valued}`);
}
