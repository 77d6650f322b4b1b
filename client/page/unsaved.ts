import { formFields } from './form-fields';

const memory = 'fair-hearing.plan';

/**
 * Says when the plan has changes that are not saved (one that came back with problems is kept as it was typed), stops
 * a lock that would leave them out, and after a line was added or taken away goes on where the hand was.
 */
export function guardUnsaved(form: HTMLFormElement, plan: HTMLElement): void {
  const saved = formFields(form).toString();
  const unsaved = () => formFields(form).toString() !== saved;

  const mark = form.querySelector<HTMLElement>('[data-unsaved]');
  const look = () => {
    if (mark) mark.hidden = !unsaved();
  };
  form.addEventListener('input', look);
  form.addEventListener('change', look);
  look();

  let leaving = false;
  form.addEventListener('submit', (event) => {
    leaving = true;
    const pressed = event.submitter;
    const did = pressed instanceof HTMLButtonElement ? pressed.value : '';
    remember(did);
  });
  window.addEventListener('beforeunload', (event) => {
    if (!leaving && unsaved()) event.preventDefault();
  });

  plan.querySelector<HTMLFormElement>('[data-lock]')?.addEventListener('submit', (event) => {
    if (!unsaved()) {
      leaving = true;
      return;
    }
    event.preventDefault();
    const says = plan.querySelector<HTMLElement>('[data-lock-says]');
    if (says) {
      says.textContent = 'The plan has changes that are not saved. Save it first, then lock it.';
      says.hidden = false;
    }
    form.querySelector<HTMLElement>('.save-bar button')?.focus({ preventScroll: true });
  });

  goOn(form);
}

function remember(did: string): void {
  try {
    if (/^((add|remove)-|method:|aim:)/.test(did))
      sessionStorage.setItem(memory, JSON.stringify({ did, top: window.scrollY }));
    else sessionStorage.removeItem(memory);
  } catch {
    // Without storage the page starts at its top, as it does without a script.
  }
}

function goOn(form: HTMLFormElement): void {
  let kept: string | null = null;
  try {
    kept = sessionStorage.getItem(memory);
    sessionStorage.removeItem(memory);
  } catch {
    return;
  }
  if (!kept || document.querySelector('[data-problems]')) return;
  const { did, top } = JSON.parse(kept) as { did: string; top: number };
  window.scrollTo(0, top);
  const [what, number] = did.split(':');
  const [first, second] = (number ?? '').split('.').map(Number);
  const prototypes = '.prototype-name input';
  const audiences = '.audience .field:first-of-type input';
  const units = `.prototype:nth-of-type(${first}) .unit .field:first-of-type input`;
  const focusLast = (selector: string) => [...form.querySelectorAll<HTMLElement>(selector)].at(-1)?.focus();
  // What moved up to where a line was taken away, or the one before it.
  const focusAt = (selector: string, place = 1) => {
    const all = [...form.querySelectorAll<HTMLElement>(selector)];
    all[Math.min(place, all.length) - 1]?.focus();
  };
  const scales = '.scale-name input';
  const rights = '.right > .field:first-of-type input';
  if (what === 'aim') focusAt('.method[aria-pressed="true"]');
  if (what === 'method') focusAt('.taken');
  if (what === 'add-known') focusLast(prototypes);
  if (what === 'add-scale') focusLast(scales);
  if (what === 'remove-scale') focusAt(scales, first);
  if (what === 'add-right') focusLast(rights);
  if (what === 'remove-right') focusAt(rights, first);
  if (what === 'add-prototype') focusLast(prototypes);
  if (what === 'add-audience') focusLast(audiences);
  if (what === 'add-unit') focusLast(units);
  if (what === 'remove-prototype') focusAt(prototypes, first);
  if (what === 'remove-audience') focusAt(audiences, first);
  if (what === 'remove-unit') focusAt(units, second);
}
