import { fault } from './fault.mjs';

/** Faults in sittings over weeks: who may sit, what a pause does to an impression, and whose link still works. */
export const sittings = [
  fault(
    'who is not due is seated all the same',
    'server/run/seats.ts',
    [['    refuseUndue(listener.alias, await dueOf(tx, study, listener.id, at), planOf(study).sessions, at);\n', '']],
    'listen/coming-back',
  ),
  fault(
    'a session in which nobody sat was held',
    'server/live/due.ts',
    [['sessions.filter(({ id }) => satIn.has(id)).map(', 'sessions.map(']],
    'listen/coming-back',
  ),
  fault(
    'an interrupted impression goes on unmarked',
    'server/blinding/trial-story.ts',
    [["  flag(trial, 'interrupted');\n", '']],
    'blinding/impressions',
  ),
  fault(
    'who comes back after the window hears it once more',
    'server/blinding/trial-story.ts',
    [['if (sampleThere && since <= windowSeconds * 1000)', 'if (sampleThere)']],
    'blinding/impressions',
  ),
  fault(
    'a sample that was taken back is heard by whoever comes back',
    'server/blinding/trial-story.ts',
    [['if (sampleThere && since', 'if (since']],
    'blinding/impressions',
  ),
  fault(
    'a lost card goes on working',
    'server/run/card.ts',
    [['    if (replaced) await deleteListenerTokens(tx, listener.id);\n', '']],
    'run/panel',
  ),
  fault(
    'what was chosen is lost with a refused rating',
    'server/listen/routes.ts',
    [['=== String(one.value)', "=== ''"]],
    'listen/first-impression',
  ),
  fault(
    'a rehearsal’s clock goes on while somebody acts',
    'server/demo/room-clock.ts',
    [
      ['if (this.awake > 0 || this.looking) return;', 'if (this.looking) return;'],
      ['if (this.awake > 0) return;\n      if (turns', 'if (turns'],
      ['if (this.awake > 0 || turns === 0)', 'if (turns === 0)'],
    ],
    'demo/room-clock',
  ),
];
