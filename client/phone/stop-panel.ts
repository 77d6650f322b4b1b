/**
 * The stop button opens a panel that asks once. It works without script; this adds Escape, and closing in place. Whoever
 * reaches for it may be in pain: `opened` silences what plays before anything is asked or sent.
 */
export function prepareStopPanel(untilSent: () => Promise<void>, opened: () => void = () => {}): void {
  const details = document.querySelector<HTMLDetailsElement>('#stop');
  if (!details) return;
  const close = (): void => {
    details.open = false;
    details.querySelector('summary')?.focus();
  };
  details.addEventListener('toggle', () => {
    if (details.open) opened();
  });
  details.querySelector('[data-close]')?.addEventListener('click', (event) => {
    event.preventDefault();
    close();
  });
  details.addEventListener('keydown', (event) => {
    if (event.key === 'Escape' && details.open) close();
  });
  document.addEventListener('pointerdown', (event) => {
    if (details.open && event.target instanceof Node && !details.contains(event.target)) details.open = false;
  });
  const form = details.querySelector('form');
  form?.addEventListener('submit', (event) => {
    // What was answered before stopping goes first: a seat that is out takes no more answers.
    event.preventDefault();
    void untilSent().then(() => form.submit());
  });
}
