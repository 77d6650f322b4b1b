import { fault } from './fault.mjs';

/** Faults in sittings over weeks: who may sit, what a pause does to an impression, and whose link still works. */
export const sittings = [
  fault(
    'who is not due is seated all the same',
    'server/run/seats.ts',
    [
      [
        '    refuseUndue(listener.alias, await dueOf(tx, study, listener.id, at), blindPlanOf(study).sessions, at);\n',
        '',
      ],
    ],
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
    [['      await endListenerTokens(tx, listener.id, at.toISOString());\n', '']],
    'run/panel',
  ),
  fault(
    'a phone that was lost goes on by the line that it has',
    'server/run/card.ts',
    [['      context.signOut(listener.id);\n', '']],
    'run/panel',
  ),
  fault(
    'a card page that is sent again ends the card it made',
    'server/run/card.ts',
    [['?.hash !== replaces', '?.hash === undefined']],
    'run/panel',
  ),
  fault(
    'what another listener left on a phone is sent',
    'client/phone/act-queue.ts',
    [[" && key.split('.')[3] === listener", '']],
    'client/phone/act-queue',
  ),
  fault(
    'a first sound that comes in late is no hearing',
    'server/listen/scales-steps.ts',
    [["trial.step !== 'starting' && (await wasTakenBack(asked))", 'false']],
    'listen/first-impression',
  ),
  fault(
    'a pause counts for whoever is away',
    'server/blinding/story.ts',
    [[' && !away.has(one.id)', '']],
    'blinding/impressions',
  ),
  fault(
    'what was chosen is lost with a refused rating',
    'server/listen/chosen-again.ts',
    [['String(one.value))', "'')"]],
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
