import { findListenerByToken, setDevice } from '../store/listeners';
import { openStore } from '../store/open';
import { tokenHash } from '../web/random-token';

/**
 * The listeners of these personal links put their phones down, so that whoever opens a link holds the phone. Otherwise
 * each would first be asked whether the sitting is to go on in another browser.
 */
export async function putPhonesDown(folder: string, links: readonly string[]): Promise<void> {
  const store = await openStore(folder);
  try {
    for (const link of links) {
      const token = link.split('/').at(-1) ?? '';
      const listener = await findListenerByToken(store.db, tokenHash(token));
      if (!listener) throw new Error('A personal link of the demo leads nowhere.');
      await store.write((tx) => setDevice(tx, listener.id, null));
    }
  } finally {
    await store.close();
  }
}
