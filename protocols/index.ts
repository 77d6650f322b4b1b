import { pairedPreference } from './paired-preference';
import type { Protocol } from './protocol';

/** Every method, by id. Adding one is a file and a line here. */
export const protocols = { [pairedPreference.id]: pairedPreference } as const;

/** The method of that id, its own types forgotten: a plan's spec and an answer are checked by its schemas. */
export function protocolOf(id: string): Protocol<unknown, unknown> {
  const found = (protocols as Record<string, Protocol<never, never>>)[id];
  if (!found) throw new Error(`There is no method ${id}.`);
  return found as unknown as Protocol<unknown, unknown>;
}
