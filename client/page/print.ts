/** Shows the print buttons where the browser can print, and unfolds on paper what is folded on the screen. */
export function offerPrint(): void {
  if (typeof window.print !== 'function') return;
  for (const button of document.querySelectorAll<HTMLButtonElement>('[data-print]')) {
    button.hidden = false;
    button.addEventListener('click', () => window.print());
  }
  const folded = () => document.querySelectorAll<HTMLDetailsElement>('[data-print-open]');
  let opened: HTMLDetailsElement[] = [];
  window.addEventListener('beforeprint', () => {
    opened = [...folded()].filter((details) => !details.open);
    for (const details of opened) details.open = true;
  });
  window.addEventListener('afterprint', () => {
    for (const details of opened) details.open = false;
  });
}
