import { createHmac } from 'node:crypto';
import type { StudyId } from '../shared/brands';

/**
 * Of a quick check nobody is asked for a passphrase, and nobody could be told it in time. It follows from the server's own
 * secret, so that this study is as safe as the secret of the server's cookies; on another machine it stays sealed.
 */
export const quickPassphrase = ({ secret }: { secret: Buffer }, study: StudyId): string =>
  createHmac('sha256', secret).update(`quick check ${study}`).digest('base64url');
