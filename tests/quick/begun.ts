import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { SoundInMind, StaffBrowser } from '../../server/demo/staff-browser';
import { cookieNames } from '../../server/web/cookies';
import { ada, type House, openHouse } from '../support/driver';

/** A quick check of these two files, begun, with its listener past the check before the first sound. */
export async function quickCheckOf(
  first: SoundInMind,
  second: SoundInMind,
): Promise<{ house: House; staff: StaffBrowser; phone: PhoneBrowser }> {
  const house = await openHouse();
  const staff = house.staff(ada.name);
  await staff.makeFirstAccount(house.firstCode, ada);
  let at = '/quick';
  for (const [slot, file] of Object.entries({ first, second })) {
    const { page } = await staff.open(at);
    at = (await staff.sendFile(page.form(`form:has(#${slot})`), file)).path;
  }
  const { page } = await staff.open(at);
  await staff.send(page.form('form[action="/quick"]'), { method: 'abx', trials: '5', ears: 'yes' });
  const phone = house.phone(ada.name);
  sameBrowser(staff, phone);
  await phone.connect();
  await phone.checkSound();
  return { house, staff, phone };
}

/** The phone is the browser that whoever checks is signed in with. */
export function sameBrowser(staff: StaffBrowser, phone: PhoneBrowser): void {
  for (const name of [cookieNames.listener, cookieNames.visit, cookieNames.staff]) {
    const value = staff.cookies.get(name);
    if (value !== undefined) phone.cookies.set(name, value);
  }
}
