import { settle, standing } from './settle';

/** The desk in a reply, be it the part alone or a whole page around it; null when there is none. */
export function partIn(html: string): HTMLElement | null {
  return new DOMParser().parseFromString(html, 'text/html').querySelector<HTMLElement>('.desk[data-version]');
}

export function versionOf(holder: ParentNode): number {
  return Number(holder.querySelector<HTMLElement>('.desk[data-version]')?.dataset.version ?? -1);
}

/**
 * Puts a new part in the place of the old one. What a person opened stays open, what was typed stays, and the focus
 * stays on its control; if that is gone it goes to `next`, else to the heading, never by itself onto another hand-over.
 */
export function swapPart(holder: HTMLElement, part: HTMLElement, next?: () => HTMLElement | null): void {
  const old = holder.querySelector<HTMLElement>('.desk[data-version]');
  if (old && Number(part.dataset.version) < versionOf(holder)) return;

  const focused = holder.contains(document.activeElement) ? document.activeElement : null;
  const selection = focused instanceof HTMLInputElement ? [focused.selectionStart, focused.selectionEnd] : null;
  const before = standing(holder);
  if (old) {
    keepOpen(old, part);
    keepTyped(old, part);
  }
  holder.replaceChildren(document.adoptNode(part));
  settle(holder, before);

  if (!focused) return;
  const same = focused.id ? document.getElementById(focused.id) : null;
  const target = same ?? next?.() ?? document.getElementById('desk-head');
  target?.focus({ preventScroll: same !== null });
  if (target && document.activeElement !== target) {
    target.closest('details')?.querySelector('summary')?.focus({ preventScroll: true });
  }
  if (same instanceof HTMLInputElement && selection) same.setSelectionRange(selection[0] ?? null, selection[1] ?? null);
}

function keepOpen(old: HTMLElement, part: HTMLElement): void {
  for (const details of old.querySelectorAll<HTMLDetailsElement>('details[data-keep][id]')) {
    const same = part.querySelector<HTMLDetailsElement>(`#${CSS.escape(details.id)}`);
    if (same) same.open = details.open;
  }
}

function keepTyped(old: HTMLElement, part: HTMLElement): void {
  for (const input of old.querySelectorAll<HTMLInputElement>('input[type="text"][id]')) {
    if (input.value === input.defaultValue) continue;
    const same = part.querySelector<HTMLInputElement>(`#${CSS.escape(input.id)}`);
    if (same) same.value = input.value;
  }
}
