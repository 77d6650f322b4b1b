/** The stop button opens a panel that asks once. It works without script; this adds Escape, and closing in place. */
export function prepareStopPanel(untilSent: () => Promise<void>): void {
  const details = document.querySelector<HTMLDetailsElement>('#stop');
  if (!details) return;
  const close = (): void => {
    details.open = false;
    details.querySelector('summary')?.focus();
  };
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
