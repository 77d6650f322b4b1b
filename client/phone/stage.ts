import type { Place } from '../../shared/wire';
import { placeTitle } from '../../shared/words/place-title';
import { say } from '../../shared/words/say';
import type { Drafts } from './drafts';

/** The part of the page that says where the listener is: shows a newer place, keeps what was typed, moves the focus. */
export interface Stage {
  /** `asked`: the server was asked just now, and so knows better than a place that ends a sitting. */
  show(place: Place, asked: boolean): void;
  kind(): string;
  /** Where samples are graded: all together, the one at the ear, or all again; else nothing. */
  at(): string;
  trial(): string;
  presentation(): number;
  practice(): boolean;
  /**
   * Shows the place that comes next for certain, which the present one carries with it: at a first sound nobody can wait
   * for the network. Answers whether there was one.
   */
  ahead(): boolean;
  /** Whatever was shown ahead, the next place that comes is shown. */
  doubt(): void;
  /** Nothing can be sent from here while an act is on its way. */
  lock(locked: boolean): void;
}

/** What holds something that was chosen or typed. */
type Typed = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

/** What is chosen by a tick, and not typed. */
const isTicked = (input: Typed): input is HTMLInputElement =>
  input instanceof HTMLInputElement && input.type !== 'number';

const endings = ['guessing', 'finished', 'out', 'closed'];

/** `changed` is called whenever something new stands there, and once at the beginning. */
export function createStage(element: HTMLElement, drafts: Drafts, changed: () => void): Stage {
  const section = (): HTMLElement | null => element.querySelector<HTMLElement>('[data-kind]');
  const kind = (): string => section()?.dataset.kind ?? '';
  const hidden = (name: string): string =>
    element.querySelector<HTMLInputElement>(`input[name="${name}"]`)?.value ?? '';
  const name = (): string => [kind(), section()?.dataset.at ?? '', hidden('trial'), hidden('presentation')].join('/');
  const inputs = (): Typed[] => [
    ...element.querySelectorAll<Typed>(
      'input:is([type="radio"], [type="checkbox"], [type="number"]), textarea, select',
    ),
  ];

  const restore = (): void => {
    const kept = drafts.of(name());
    for (const input of inputs()) {
      const values = kept.flatMap(([field, value]) => (field === input.name ? [value] : []));
      const [value] = values;
      if (value === undefined) continue;
      if (isTicked(input)) input.checked = values.includes(input.value);
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

  element.addEventListener('input', ({ target }) => {
    // How a listener is today is kept nowhere but at the server.
    if (target instanceof Element && target.closest('form:not([data-act])')) return;
    const fields = inputs().flatMap((input): [string, string][] =>
      isTicked(input) && !input.checked ? [] : [[input.name, input.value]],
    );
    drafts.keep(name(), fields);
    markChosen();
  });
  /** What was put on the page last, before anybody touched it. */
  let stands = bare(element.innerHTML);
  restore();

  /** A form that is no act, at the place where it stands already: it may be half filled in, or say what was wrong. */
  const isSameForm = (html: string): boolean => {
    const comes = read(html).content.querySelector<HTMLElement>('[data-kind]');
    return comes?.dataset.kind === kind() && element.querySelector('form:not([data-act])') !== null;
  };

  const put = (html: string): void => {
    const before = name();
    const focused = document.activeElement;
    const held = focused instanceof HTMLElement && element.contains(focused) ? focused : null;
    element.innerHTML = html;
    restore();
    changed();
    if (name() === before) {
      // The same place again: the finger stays where it was.
      if (held) (same(element, held) ?? silent(element) ?? heading())?.focus({ preventScroll: true });
      return;
    }
    // What was wrong was wrong with the place before.
    document.getElementById('problems')?.replaceChildren();
    document.title = `${placeTitle(kind())} · ${say('app.name')}`;
    window.scrollTo(0, 0);
    (silent(element) ?? heading())?.focus({ preventScroll: true });
  };

  return {
    kind,
    at: () => section()?.dataset.at ?? '',
    trial: () => hidden('trial'),
    presentation: () => Number(hidden('presentation')),
    practice: () => element.querySelector('form[data-practice]') !== null,
    show(place, asked) {
      const shown = Number(element.dataset.version);
      const newSitting = asked && place.version < shown && endings.includes(kind());
      if (!(place.version > shown || newSitting)) return;
      element.dataset.version = String(place.version);
      const comes = bare(place.html);
      if (comes === stands || isSameForm(place.html)) {
        // Nothing to see, and nothing that a finger on its way would lose.
        for (const input of element.querySelectorAll<HTMLInputElement>('input[name="version"]')) {
          input.value = String(place.version);
        }
        return;
      }
      stands = comes;
      put(place.html);
    },
    ahead() {
      const next = element.querySelector<HTMLTemplateElement>('template[data-ahead]')?.innerHTML;
      if (next === undefined) return false;
      stands = bare(next);
      put(next);
      return true;
    },
    doubt() {
      element.dataset.version = '-1';
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

function read(html: string): HTMLTemplateElement {
  const template = document.createElement('template');
  template.innerHTML = html.trim();
  return template;
}

/** A part of the page as it is written, whatever its version and the spaces between its elements. */
function bare(html: string): string {
  const template = read(html);
  for (const input of template.content.querySelectorAll('input[name="version"]')) input.removeAttribute('value');
  return template.innerHTML.replace(/\s+/g, ' ').replaceAll('> <', '><');
}

/** Where the focus goes without a word, in a place that opens while a sample plays. */
const silent = (element: HTMLElement): HTMLElement | null =>
  [...element.querySelectorAll<HTMLElement>('[data-focus]')].find((spot) => !spot.closest('[hidden]')) ?? null;

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
