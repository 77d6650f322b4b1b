/** Of two ways in which a level may be known only the one that was chosen is asked about. What is typed stays. */
export function watchWays(form: HTMLFormElement): void {
  const follow = () => {
    const chosen = new FormData(form).get('method');
    for (const way of form.querySelectorAll<HTMLElement>('[data-way]')) {
      // What is wrong is shown, wherever it stands.
      way.hidden = way.dataset.way !== chosen && !way.querySelector('.error');
    }
  };
  form.addEventListener('change', follow);
  follow();
}

/** What is asked for as text can come from a file: its text goes where it would have been pasted, to be seen and sent. */
export function watchTextFile(form: HTMLFormElement, name: string): void {
  const place = form.querySelector<HTMLElement>('[data-from-file]');
  const input = place?.querySelector<HTMLInputElement>('input');
  const text = form.querySelector<HTMLTextAreaElement>(`[name="${name}"]`);
  if (!place || !input || !text) return;
  place.hidden = false;
  input.addEventListener('change', async () => {
    const file = input.files?.[0];
    if (file) text.value = await file.text();
  });
}
