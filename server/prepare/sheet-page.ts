import type { Plan } from '../../shared/plan';
import type { Sheet, SheetSample } from '../blinding/serving';
import { handlingWords } from '../plan-words';
import { utcMinute } from '../time-words';
import type { StaffFrame } from '../web/page';
import type { SheetCarrier, SheetPage } from './view-models';

/** What must be the same on every unit, so that nothing but the sound differs (ISO 6658; common practice). */
const checklist = [
  'Shells masked or of one look; no marks, no serials to be seen.',
  'The same cable, connector, weight and tips on every unit.',
  'Cleaned alike, and dry: no smell tells one from another.',
  'Levels matched: a difference of a few tenths of a decibel is heard as better, not as louder.',
  'Carriers closed alike. The code stands on the carrier, never on the unit.',
];

export function sheetPage(
  frame: StaffFrame,
  plan: Plan,
  sheet: Sheet,
  session: number,
  openedBy: string,
  at: Date,
): SheetPage {
  const audienceName = (id: string) => plan.audiences.find((audience) => audience.id === id)?.name ?? '';
  const carriers = (samples: SheetSample[]): SheetCarrier[] =>
    samples.map(({ code, prototype, serial }, index) => ({ position: index + 1, code, prototype, serial }));
  const listeners = sheet.listeners?.map(({ audience, ordinal, trials }) => ({
    audience: audienceName(audience),
    ordinal,
    trials,
  }));
  return {
    ...frame,
    session,
    printedAt: utcMinute(at.toISOString()),
    openedBy,
    handlingWords: handlingWords[plan.handling].how,
    solo: plan.handling === 'solo',
    day: sheet.day,
    listeners:
      listeners?.map(({ audience, ordinal, trials }) => ({
        audience,
        ordinal,
        turns: trials
          .filter(({ trial }) => trial.replaces === null)
          .map(({ trial, samples }) => ({
            label: trial.practice ? 'Practice' : `Turn ${trial.ordinal}`,
            carriers: carriers(samples),
          })),
      })) ?? null,
    again:
      listeners?.flatMap(({ audience, ordinal, trials }) =>
        trials
          .filter(({ trial }) => trial.replaces !== null)
          .map(({ trial, samples }) => ({
            audience,
            ordinal,
            label: `Turn ${trial.replaces} again`,
            carriers: carriers(samples),
          })),
      ) ?? [],
    byCode: (sheet.listeners ?? [])
      .flatMap(({ trials }) => trials.flatMap(({ samples }) => samples))
      .map(({ code, prototype, serial }) => ({ code, prototype, serial }))
      .sort((a, b) => (a.code < b.code ? -1 : 1)),
    checklist,
  };
}
