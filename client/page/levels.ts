/** A table of a response can come from a file: its text goes where it would have been pasted, to be seen and sent. */
export function watchResponseFile(form: HTMLFormElement): void {
  const place = form.querySelector<HTMLElement>('[data-from-file]');
  const input = place?.querySelector<HTMLInputElement>('input');
  const text = form.querySelector<HTMLTextAreaElement>('[name="response"]');
  if (!place || !input || !text) return;
  place.hidden = false;
  input.addEventListener('change', async () => {
    const file = input.files?.[0];
    if (file) text.value = await file.text();
  });
}
