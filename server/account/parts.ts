import type { Store } from '../store/open';
import type { Limit } from '../web/limits';
import type { WebParts } from '../web/parts';
import type { FirstCode } from './first-code';

/** What the pages about accounts are made with. */
export interface AccountParts extends WebParts {
  store: Store;
  firstCode: FirstCode;
  now: () => Date;
  limits?: Partial<AttemptLimits>;
}

export interface AttemptLimits {
  /** Wrong passwords for one name from one address. Not for the name alone: anyone could lock the desk out. */
  perName: Limit;
  /** Wrong passwords, codes and links from one address, over all names. */
  perAddress: Limit;
}

export const attemptLimits: AttemptLimits = {
  perName: { attempts: 10, minutes: 15 },
  perAddress: { attempts: 40, minutes: 15 },
};
