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
      // What other ways of asking cost stands elsewhere on the page, and hangs on the same fields.
      const anew = part.querySelector('[data-ways-anew]');
      const ways = form.querySelector<HTMLElement>('[data-ways-part]');
      if (anew && ways) showWays(ways, anew.innerHTML);
      anew?.remove();
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

/** Somebody may be reading them, or have the focus there. */
function showWays(ways: HTMLElement, html: string): void {
  const unfolded = ways.querySelector('details')?.open ?? false;
  if (ways.contains(document.activeElement) || ways.innerHTML === html) return;
  ways.innerHTML = html;
  const details = ways.querySelector('details');
  if (details) details.open = unfolded;
}
