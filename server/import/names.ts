/** Names in cells as people type them, beside those of the plan. */

const plain = (text: string): string => text.normalize('NFC').trim().replace(/\s+/g, ' ').toLowerCase();

/** A spreadsheet would take it for a formula, so our own export puts an apostrophe before it. */
const defused = /^'(?=[=+\-@\t\r＝＋－＠])/;
export const fused = (cell: string): string => cell.replace(defused, '');

/**
 * The one of these that a cell names: by its name to the letter, else by its id, else by its name whatever the case;
 * undefined where none fits, or two fit alike.
 */
export function named<T extends { id: string; name: string }>(cell: string, all: readonly T[]): T | undefined {
  const ways: ((one: T, typed: string) => boolean)[] = [
    (one, typed) => one.name === typed,
    (one, typed) => one.id === typed,
    (one, typed) => plain(one.name) === plain(typed),
  ];
  for (const typed of [cell, fused(cell)]) {
    for (const fits of ways) {
      const found = all.filter((one) => fits(one, typed));
      if (found.length === 1) return found[0];
    }
  }
  return undefined;
}

export const list = (names: readonly { name: string }[]): string => names.map(({ name }) => name).join(', ');
