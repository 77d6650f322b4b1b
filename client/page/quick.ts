/** A file that is dropped or chosen goes at once; without this script a button sends it. */
export function takeDrops(page: ParentNode): void {
  for (const form of page.querySelectorAll<HTMLFormElement>('form[data-quick-file]')) {
    const input = form.querySelector<HTMLInputElement>('input[type="file"]');
    if (!input) continue;
    const send = (): void => {
      if (input.files && input.files.length > 0) form.requestSubmit();
    };
    input.addEventListener('change', send);
    const over = (yes: boolean) => (event: DragEvent) => {
      event.preventDefault();
      form.classList.toggle('over', yes);
    };
    form.addEventListener('dragover', over(true));
    form.addEventListener('dragleave', over(false));
    form.addEventListener('drop', (event) => {
      over(false)(event);
      const files = event.dataTransfer?.files;
      if (!files || files.length === 0) return;
      input.files = files;
      send();
    });
  }
}
