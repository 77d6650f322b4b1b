import { z } from 'zod';
import { csrf, formLength, said, typed } from './pieces';

/** What the listener hears with. */
export const connections = ['wired', 'wireless', 'speakers'] as const;
/** What to look after before the first trial. */
export const soundChecks = ['silent', 'equaliser', 'volume'] as const;

/**
 * Before the first trial of a sitting where the page plays. Form: POST /listen/sound-check {first_played, first_heard,
 * second_played, second_heard: 'left'|'right', connection, checks…}.
 */
export const soundCheckPart = z.strictObject({
  kind: z.literal('sound-check'),
  csrf,
  /** Left and right can be told now; with units in hand that comes with each of them. */
  tones: z.boolean(),
  tonesError: typed('form', formLength).nullable(),
  connections: z
    .array(
      z.strictObject({
        value: z.enum(connections),
        label: said(...connections.map((one) => `sound-check.${one}` as const)),
        chosen: z.boolean(),
      }),
    )
    .max(connections.length),
  connectionError: typed('form', formLength).nullable(),
  checks: z
    .array(
      z.strictObject({
        value: z.enum(soundChecks),
        label: said(...soundChecks.map((one) => `sound-check.${one}` as const)),
        chosen: z.boolean(),
      }),
    )
    .max(soundChecks.length),
  checksError: typed('form', formLength).nullable(),
});

export type SoundCheckPart = z.infer<typeof soundCheckPart>;
