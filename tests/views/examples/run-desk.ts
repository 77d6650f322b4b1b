import type { Desk, DeskPage, DeskSeat, DeskSession } from '../../../server/run/view-models';
import { incidentCategories, voidReasons } from '../../../shared/wire/desk';
import { deskSay } from '../../../shared/words/desk';
import { mishaps } from '../../../shared/words/mishaps';
import { base, frame, longName, qrSvg, study, type ViewExamples } from '../staff/frame';
import { code, codes, csrf, joinCode, sitting, trial } from './branded';

const joinUrl = `http://192.168.4.20:8080/j/${joinCode}`;

const seat = (
  number: number,
  alias: string,
  now: string,
  held: string | null,
  progress: string,
  more: Partial<DeskSeat> = {},
): DeskSeat => ({
  sitting: sitting(number),
  seat: number,
  alias,
  audience: number % 2 ? 'Stage' : 'Home',
  now,
  holding: held === null ? null : code(held),
  progress,
  state: 'seated',
  trial: trial(number),
  canLeave: true,
  trialCodes: codes('417', '502'),
  canReturn: false,
  ...more,
});

const session = (more: Partial<DeskSession> = {}): DeskSession => ({
  number: 1,
  state: 'open',
  joinUrl,
  joinCode,
  joinQrSvg: qrSvg(joinUrl),
  otherUrls: [`http://10.0.0.7:8080/j/${joinCode}`],
  hands: [],
  arrivals: [],
  seats: [],
  incidentCategories: incidentCategories.map((value) => ({ value, label: mishaps[value] })),
  voidReasons: voidReasons.map((value) => ({ value, label: mishaps[value] })),
  ...more,
});

const desk = (more: Partial<Desk> = {}): Desk => ({
  base,
  csrf,
  version: 17,
  openable: { allowed: false, number: 1, reason: null, carriers: true, uncovered: [] },
  barred: null,
  session: null,
  due: null,
  closedSessions: [],
  incidents: [],
  ...more,
});

const page = (more: Partial<Desk> = {}, warning: string | null = null): DeskPage => ({
  ...frame('Run', study('run', 'running', warning)),
  desk: desk(more),
});

const seats = [
  seat(1, 'Heron', 'listening to 638', '638', '3 of 12'),
  seat(2, 'Otter', 'answering', null, '4 of 12'),
  seat(3, 'Wren', 'waiting for 417', '502', '4 of 12'),
  seat(4, 'Linnet', 'waiting for 275', null, '3 of 12'),
];
const incidents: Desk['incidents'] = [
  { at: '2 Mar, 14:32', category: mishaps.noise, text: 'delivery at the door', seat: null },
  { at: '2 Mar, 14:10', category: mishaps['sample-fault'], text: '', seat: 2 },
];
const closedSessions = [
  { number: 1, openedAt: '17 Nov, 14:00', closedAt: '17 Nov, 15:20', finished: 7, cut: 1, postponed: 1 },
];

/** The desk in every state that it can be in. */
export const deskStates = {
  normal: desk({
    incidents,
    session: session({
      hands: [
        {
          kind: 'swap',
          sitting: sitting(3),
          seat: 3,
          give: code('417'),
          takeBack: code('502'),
          practice: false,
          covered: false,
        },
        { kind: 'take-back', sitting: sitting(5), seat: 5, code: code('946') },
        {
          kind: 'held-up',
          sitting: sitting(4),
          seat: 4,
          code: code('275'),
          sentence: deskSay('held-up', { code: code('275') }),
        },
      ],
      arrivals: [
        {
          sitting: sitting(6),
          alias: 'Plover',
          audience: 'Home',
          ready: true,
          again: false,
          stage: 'ready',
          nextSeat: 6,
          dose: deskSay('dose.warn'),
          lately: deskSay('lately.product', { count: 12 }),
        },
        {
          sitting: sitting(7),
          alias: 'Siskin',
          audience: 'Stage',
          ready: false,
          again: false,
          stage: 'checking in',
          nextSeat: 6,
          dose: null,
          lately: null,
        },
        {
          sitting: sitting(8),
          alias: 'Crake',
          audience: 'Home',
          ready: false,
          again: true,
          stage: 'postponed at check-in',
          nextSeat: 6,
          dose: null,
          lately: null,
        },
      ],
      seats: [
        ...seats,
        seat(5, 'Dunnock', 'done', '946', '12 of 12', { state: 'finished', trial: null, canLeave: false }),
      ],
    }),
  }),
};

const examples: ViewExamples<DeskPage> = {
  view: 'run/desk',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page({ openable: { allowed: true, number: 1, reason: null, carriers: true, uncovered: [] } }),
    },
    {
      name: 'nothing-loaded',
      model: page({
        openable: {
          allowed: true,
          number: 1,
          reason: deskSay('openable.no-sheet', { number: 1 }),
          carriers: true,
          uncovered: [],
        },
      }),
    },
    {
      name: 'unmeasured',
      model: page({
        openable: {
          allowed: true,
          number: 1,
          reason: null,
          carriers: true,
          uncovered: [deskSay('openable.levels', { count: 3 }), deskSay('openable.loud')],
        },
      }),
    },
    {
      name: 'renders',
      model: page({ openable: { allowed: true, number: 1, reason: null, carriers: false, uncovered: [] } }),
    },
    {
      name: 'sound-missing',
      model: page({
        openable: {
          allowed: false,
          number: 1,
          reason: deskSay('openable.sound'),
          carriers: false,
          uncovered: [],
        },
      }),
    },
    {
      name: 'not-yet',
      model: page({
        openable: { allowed: false, number: 1, reason: deskSay('openable.draft'), carriers: true, uncovered: [] },
      }),
    },
    { name: 'nobody-seated', model: page({ session: session() }) },
    { name: 'normal', model: { ...frame('Run', study('run', 'running')), desk: deskStates.normal } },
    {
      name: 'paused',
      model: page(
        {
          session: session({
            state: 'paused',
            seats,
            hands: [],
          }),
        },
        'Whoever hands over has seen the sheet.',
      ),
    },
    {
      name: 'crowded',
      model: page({
        incidents: [...incidents, ...incidents, ...incidents],
        closedSessions,
        session: session({
          number: 2,
          hands: Array.from({ length: 7 }, (_, i) => ({
            kind: 'swap' as const,
            sitting: sitting(i + 1),
            seat: i + 1,
            give: code(`${417 + i * 37}`),
            takeBack: i % 2 ? code(`${502 + i * 31}`) : null,
            practice: i === 4,
            covered: i === 2,
          })),
          arrivals: Array.from({ length: 4 }, (_, i) => ({
            sitting: sitting(50 + i),
            alias: i === 1 ? longName : `Waiting ${i}`,
            audience: 'Stage',
            ready: i < 2,
            again: false,
            stage: i < 2 ? 'ready' : 'reading the cautions',
            nextSeat: 13,
            dose: null,
            lately: null,
          })),
          seats: Array.from({ length: 12 }, (_, i) =>
            seat(
              i + 1,
              i === 3 ? longName : `Listener ${i + 1}`,
              i % 3 ? 'listening to 638' : 'answering',
              i % 3 ? '638' : null,
              `${i % 12} of 12`,
              {
                state: i === 11 ? 'out' : 'seated',
                canReturn: i === 11,
                canLeave: i !== 11,
              },
            ),
          ),
        }),
      }),
    },
    {
      name: 'wrong',
      model: page({
        barred: {
          sentence: deskSay('barred.sheet'),
        },
      }),
    },
    {
      name: 'done',
      model: page({
        openable: { allowed: true, number: 3, reason: null, carriers: true, uncovered: [] },
        due: [
          { alias: longName, audience: 'Stage', overdue: true },
          { alias: 'Heron', audience: 'Stage', overdue: false },
          { alias: 'Otter', audience: 'Home', overdue: false },
          { alias: 'Wren', audience: 'Home', overdue: false },
        ],
        closedSessions,
        incidents,
      }),
    },
    {
      name: 'all-held',
      model: page({
        openable: {
          allowed: false,
          number: 3,
          reason: deskSay('openable.all-held', { count: 2 }),
          carriers: true,
          uncovered: [],
        },
        due: [],
        closedSessions,
      }),
    },
  ],
};
export default examples;
