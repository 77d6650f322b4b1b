import type { Logger } from 'pino';
import type { SoundShelf } from './audio/shelf';
import type { Hub } from './live/hub';
import type { Store } from './store/open';
import type { WebParts } from './web/parts';

/** What the rooms are made of. */
export interface Parts extends WebParts {
  store: Store;
  hub: Hub;
  now(): Date;
  log: Logger;
  /** Sound files that people brought. */
  sounds: SoundShelf;
  toolVersion: string;
  /** Pages worth a look, when what is served is the invented study of the demo. */
  tour?: readonly TourStop[];
}

export interface TourStop {
  label: string;
  url: string;
  detail: string;
}
