import { say } from '../../shared/words/say';

/** The button that copies the personal link. The clipboard proper needs HTTPS; selecting and copying does not. */
export function prepareCopyLink(): void {
  const button = document.querySelector<HTMLButtonElement>('[data-copy]');
  const source = document.querySelector<HTMLInputElement>('[data-copy-source]');
  if (!button || !source) return;
  button.hidden = false;
  source.addEventListener('focus', () => source.select());
  button.addEventListener('click', () => {
    void copy(source).then((copied) => {
      if (!copied) return;
      button.textContent = say('link.copied');
      const said = document.getElementById('copied');
      if (said) said.textContent = say('link.copied');
    });
  });
}

async function copy(source: HTMLInputElement): Promise<boolean> {
  const clipboard = (navigator as { clipboard?: Clipboard }).clipboard;
  try {
    if (clipboard) {
      await clipboard.writeText(source.value);
      return true;
    }
  } catch {
    // Refused: the old way below may still do.
  }
  source.select();
  return document.execCommand('copy');
}
