import type { RevealPart } from '../../../server/prepare/view-models';
import { base } from './frame';

const field = (name: string, value = '', error: string | null = null) => ({
  id: `reveal-${name}`,
  name,
  value,
  error,
});

export const revealPart = (
  more: Partial<RevealPart> = {},
  typed: Record<string, [value: string, error: string | null]> = {},
): RevealPart => ({
  action: `${base}/reveal`,
  session: field('session', ...(typed.session ?? ['1', null])),
  code: field('code', ...(typed.code ?? ['', null])),
  reason: field('reason', ...(typed.reason ?? ['', null])),
  passphrase: field('passphrase', '', typed.passphrase?.[1] ?? null),
  listeners: null,
  listenerError: null,
  clash: false,
  clashError: null,
  consequence:
    'Whoever has seen it can’t listen in this study. They may go on at the desk if it was handed over already.',
  ...more,
});
