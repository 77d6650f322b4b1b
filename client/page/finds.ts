import { formFields } from './form-fields';

const pauseMs = 350;

/** Asks anew what the plan can find whenever it changes, once the typing pauses. An older reply never wins. */
export function watchFinds(form: HTMLFormElement, url: string): void {
  const box = form.querySelector<HTMLElement>('.finds');
  const part = form.querySelector<HTMLElement>('[data-finds-part]');
  const said = form.querySelector<HTMLElement>('[data-finds-said]');
  if (!box || !part || !said || !url) return;

  let timer: ReturnType<typeof setTimeout> | undefined;
  let under: AbortController | undefined;

  const ask = async () => {
    under?.abort();
    const own = new AbortController();
    under = own;
    box.setAttribute('aria-busy', 'true');
    try {
      const reply = await fetch(url, {
        method: 'POST',
        headers: { accept: 'text/html', 'x-part': '1' },
        body: formFields(form),
        signal: own.signal,
      });
      if (!reply.ok || reply.redirected) throw new Error(`status ${reply.status}`);
      const html = await reply.text();
      if (own.signal.aborted) return;
      part.innerHTML = html;
      said.textContent = 'What it can find is up to date.';
    } catch {
      if (own.signal.aborted) return;
      said.textContent = 'What it can find could not be worked out now. Save the plan to try again.';
    }
    box.removeAttribute('aria-busy');
  };

  const soon = () => {
    clearTimeout(timer);
    said.textContent = '';
    timer = setTimeout(() => void ask(), pauseMs);
  };
  form.addEventListener('input', soon);
  form.addEventListener('change', soon);
}
