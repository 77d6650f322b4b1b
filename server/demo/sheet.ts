import type { Page } from './page';
import { textOf } from './page';

/** One coded carrier and what lies in it. */
export interface Carrier {
  code: string;
  prototype: string;
  serial: string;
}

/** Reads a preparation sheet: carrier by carrier, or for the day. */
export function carriersOf(page: Page): Carrier[] {
  const fresh = page.all('.carrier').map((one) => {
    const serial = textOf(one.querySelector('.carrier-serial'));
    const what = textOf(one.querySelector('.carrier-what'));
    return {
      code: textOf(one.querySelector('.code')),
      prototype: what.slice(0, what.length - serial.length).trim(),
      serial,
    };
  });
  const day = page.all('table.day tbody tr').map((row) => {
    const [prototype, serial] = [...row.querySelectorAll('td')].map(textOf);
    return { code: textOf(row.querySelector('.code')), prototype: prototype ?? '', serial: serial ?? '' };
  });
  return [...fresh, ...day];
}
