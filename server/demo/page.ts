import { parseHTML } from 'linkedom';

/** A form as it stands on a page, with what a browser would send if nobody touched it. */
export interface Form {
  action: string;
  fields: Record<string, string>;
  /** The buttons that send something of their own: `{name, value, label}`. */
  buttons: { name: string; value: string; label: string }[];
}

/** A page, or a part of one, as a person reads it. */
export class Page {
  readonly document: Document;

  constructor(readonly html: string) {
    const whole = /<html[\s>]/i.test(html) ? html : `<!doctype html><html><body>${html}</body></html>`;
    this.document = parseHTML(whole).document as unknown as Document;
  }

  all(selector: string): Element[] {
    return [...this.document.querySelectorAll(selector)];
  }

  find(selector: string): Element | null {
    return this.document.querySelector(selector);
  }

  /** The text of the first element that fits, in single spaces; empty when there is none. */
  text(selector: string): string {
    return textOf(this.find(selector));
  }

  /** @throws Error when the page has no such form: the page is not what whoever drives it took it for. */
  form(selector: string): Form {
    const found = this.find(selector);
    const form = found?.tagName === 'FORM' ? found : found?.querySelector('form');
    if (!form) throw new Error(`There is no form ${selector} on the page “${this.text('h1')}”.`);
    return formOf(form);
  }

  forms(selector: string): Form[] {
    return this.all(selector).map(formOf);
  }

  /** What is said to be wrong, on top of the page. */
  problems(): string[] {
    return this.all('[data-problems] li').map(textOf);
  }
}

export function formOf(form: Element): Form {
  const fields: Record<string, string> = {};
  for (const input of form.querySelectorAll('input')) {
    const { name, type, value } = attributesOf(input);
    const chosen = !['radio', 'checkbox'].includes(type) || input.hasAttribute('checked');
    if (name && chosen) fields[name] = value;
  }
  for (const area of form.querySelectorAll('textarea')) {
    const name = area.getAttribute('name');
    if (name) fields[name] = area.textContent ?? '';
  }
  for (const select of form.querySelectorAll('select')) {
    const name = select.getAttribute('name');
    const option = select.querySelector('option[selected]') ?? select.querySelector('option');
    if (name) fields[name] = option?.getAttribute('value') ?? '';
  }
  const buttons = [...form.querySelectorAll('button')].flatMap((button) => {
    const name = button.getAttribute('name');
    return name ? [{ name, value: button.getAttribute('value') ?? '', label: textOf(button) }] : [];
  });
  return { action: form.getAttribute('action') ?? '', fields, buttons };
}

const attributesOf = (input: Element) => ({
  name: input.getAttribute('name') ?? '',
  type: input.getAttribute('type') ?? 'text',
  value: input.getAttribute('value') ?? (input.getAttribute('type') === 'checkbox' ? 'on' : ''),
});

/** Codes stand digit by digit with thin spaces between them, which a person doesn't read. */
export function textOf(element: Element | null | undefined): string {
  return (element?.textContent ?? '').replaceAll('\u2009', '').replace(/\s+/gu, ' ').trim();
}
