import { formFields } from '../page/form-fields';
import { partIn, swapPart } from './part';
import { isSettling } from './settle';

/**
 * Sends the forms of the desk without leaving the page. Each is sent once however often it is tapped; the reply is
 * the new part, or a refusal in words. Forms marked `data-whole` lead to another page and are left alone.
 */
export function takeOverForms(desk: HTMLElement, holder: HTMLElement, refresh: () => Promise<void>): void {
  const says = desk.querySelector<HTMLElement>('[data-says]');
  const say = (words: string) => {
    if (says) says.textContent = words;
  };
  const sending = new Set<string>();

  desk.addEventListener('submit', (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.dataset.whole !== undefined) return;
    event.preventDefault();
    if (sending.has(form.id) || isSettling(form)) return;
    sending.add(form.id);
    say('');
    void send(form, event.submitter).finally(() => sending.delete(form.id));
  });

  async function send(form: HTMLFormElement, pressed: HTMLElement | null): Promise<void> {
    form.setAttribute('aria-busy', 'true');
    let reply: Response;
    let html: string;
    try {
      reply = await fetch(form.action, {
        method: 'POST',
        headers: { accept: 'text/html', 'x-part': '1' },
        body: formFields(form, pressed),
      });
      html = await reply.text();
    } catch {
      form.removeAttribute('aria-busy');
      say(
        'This may not have reached the server. Look at what stands here once the connection is back, and do it again if needed.',
      );
      return refresh();
    }
    form.removeAttribute('aria-busy');
    const part = partIn(html);
    if (reply.ok && part) {
      fold(holder, form.id);
      swapPart(holder, part, () => holder.querySelector<HTMLElement>('[data-hand] button'));
      return;
    }
    if (reply.redirected && !part) return window.location.assign(reply.url);
    say(refusalIn(html));
    says?.focus();
    await refresh();
  }
}

/** What was just sent from a folded place is done: it is emptied and folded again. */
function fold(holder: ParentNode, id: string): void {
  const form = holder.querySelector<HTMLFormElement>(`#${CSS.escape(id)}`);
  form?.reset();
  const details = form?.closest('details');
  if (details) details.open = false;
}

function refusalIn(html: string): string {
  const page = new DOMParser().parseFromString(html, 'text/html');
  const words = page.querySelector('[data-refusal]') ?? page.querySelector('[data-problems] ul');
  return words?.textContent?.trim() || 'The server did not do this. Reload the page and look at what stands here.';
}
