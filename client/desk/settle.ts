/** Nobody reads a line and decides in less time; a tap that comes sooner was meant for what stood there before. */
const readingMs = 700;

const hands = (holder: ParentNode): HTMLElement[] => [...holder.querySelectorAll<HTMLElement>('[data-hand]')];

/** Which hand-over stands where. */
export const standing = (holder: ParentNode): string[] => hands(holder).map((hand) => hand.id);

/**
 * Marks the hand-overs that moved under the finger, for as long as it takes to read. Without this the second tap of
 * two, or one that was under way while a phone reported, would book another seat's hand-over.
 */
export function settle(holder: ParentNode, before: readonly string[]): void {
  const moved = hands(holder).filter((hand, index) => before[index] !== undefined && before[index] !== hand.id);
  for (const hand of moved) {
    hand.dataset.settling = '';
    hand.querySelector('button')?.setAttribute('aria-disabled', 'true');
  }
  setTimeout(() => {
    for (const hand of moved) {
      delete hand.dataset.settling;
      hand.querySelector('button')?.removeAttribute('aria-disabled');
    }
  }, readingMs);
}

export const isSettling = (form: HTMLElement): boolean => form.dataset.settling !== undefined;
