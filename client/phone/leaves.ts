import { isFilled } from './filled';

/** More scales than fit on a screen, turned over like leaves. Without this script all of them stand one below another. */
export interface Leaves {
  /** Which is open, from 0. */
  open(): number;
}

/** `first` is the one to open; null opens the first that still has a scale without a place. */
export function prepareLeaves(form: HTMLFormElement, first: number | null): Leaves {
  const leaves = [...form.querySelectorAll<HTMLElement>('.leaf')];
  const back = form.querySelector<HTMLButtonElement>('[data-back]');
  const next = form.querySelector<HTMLButtonElement>('[data-next]');
  const wanting = leaves.findIndex((leaf) => [...leaf.querySelectorAll('.scale')].some((scale) => !isFilled(scale)));
  let open = first ?? (wanting < 0 ? leaves.length - 1 : wanting);

  const turn = (to: number, focus: boolean): void => {
    open = Math.min(Math.max(0, to), leaves.length - 1);
    leaves.forEach((leaf, at) => {
      leaf.hidden = at !== open;
    });
    if (back) back.hidden = open === 0;
    if (next) next.hidden = open === leaves.length - 1;
    form.toggleAttribute('data-more', open < leaves.length - 1);
    if (focus) leaves[open]?.querySelector<HTMLElement>('[data-focus]')?.focus({ preventScroll: true });
  };
  const turned = (to: number): void => {
    turn(to, true);
    window.scrollTo(0, 0);
  };
  back?.addEventListener('click', () => turned(open - 1));
  next?.addEventListener('click', () => turned(open + 1));
  // Enter confirms from any leaf: then the first scale without a place is shown, wherever it stands.
  form.addEventListener(
    'invalid',
    (event) => {
      event.preventDefault();
      const at = leaves.findIndex((leaf) => event.target instanceof Node && leaf.contains(event.target));
      if (at >= 0 && !leaves[open]?.querySelector(':invalid')) turned(at);
    },
    true,
  );
  turn(open, false);
  return { open: () => open };
}
