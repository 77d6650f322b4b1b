import type { Desk, DeskPage, DeskSeat, DeskSession } from '../../../server/run/view-models';
import { base, frame, longName, qrSvg, study, type ViewExamples } from '../staff/frame';

const joinUrl = 'http://192.168.4.20:8080/j/7306';

const seat = (
  number: number,
  alias: string,
  now: string,
  holding: string | null,
  progress: string,
  more: Partial<DeskSeat> = {},
): DeskSeat => ({
  sitting: `s${number}`,
  seat: number,
  alias,
  audience: number % 2 ? 'Stage' : 'Home',
  now,
  holding,
  progress,
  state: 'seated',
  trial: `t${number}`,
  canLeave: true,
  trialCodes: ['417', '502'],
  canReturn: false,
  ...more,
});

const session = (more: Partial<DeskSession> = {}): DeskSession => ({
  number: 1,
  state: 'open',
  joinUrl,
  joinCode: '7306',
  joinQrSvg: qrSvg(joinUrl),
  otherUrls: ['http://10.0.0.7:8080/j/7306'],
  hands: [],
  arrivals: [],
  seats: [],
  incidentCategories: [
    { value: 'noise', label: 'Noise in the room' },
    { value: 'drop', label: 'Dropped or damaged' },
    { value: 'seen', label: 'Sample seen or named' },
    { value: 'unwell', label: 'Listener unwell' },
    { value: 'other', label: 'Something else' },
  ],
  voidReasons: [
    { value: 'wrong-carrier', label: 'Wrong carrier handed over' },
    { value: 'wrong-load', label: 'Carrier loaded wrong' },
    { value: 'fault', label: 'Sample didn’t play' },
  ],
  ...more,
});

const desk = (more: Partial<Desk> = {}): Desk => ({
  base,
  csrf: 'x9Jc-invented-token',
  version: 17,
  openable: { allowed: false, number: 1, reason: null },
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
const incidents = [
  { at: '14:32', category: 'Noise in the room', text: 'delivery at the door', seat: null },
  { at: '14:10', category: 'Sample didn’t play', text: '', seat: 2 },
];
const closedSessions = [
  { number: 1, openedAt: '17 November, 14:00', closedAt: '15:20', finished: 7, cut: 1, postponed: 1 },
];

/** The desk in every state that it can be in. */
export const deskStates = {
  normal: desk({
    incidents,
    session: session({
      hands: [
        { kind: 'swap', sitting: 's3', seat: 3, give: '417', takeBack: '502', practice: false, covered: false },
        { kind: 'take-back', sitting: 's5', seat: 5, code: '946' },
        { kind: 'held-up', sitting: 's4', seat: 4, code: '275', sentence: 'Free once seat 1 gives back 6 3 8.' },
      ],
      arrivals: [
        { sitting: 's6', alias: 'Plover', audience: 'Home', ready: true, again: false, stage: 'ready', nextSeat: 6 },
        {
          sitting: 's7',
          alias: 'Siskin',
          audience: 'Stage',
          ready: false,
          again: false,
          stage: 'checking in',
          nextSeat: 6,
        },
        {
          sitting: 's8',
          alias: 'Crake',
          audience: 'Home',
          ready: false,
          again: true,
          stage: 'postponed at check-in',
          nextSeat: 6,
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
    { name: 'empty', model: page({ openable: { allowed: true, number: 1, reason: null } }) },
    {
      name: 'nothing-loaded',
      model: page({
        openable: {
          allowed: true,
          number: 1,
          reason: 'Nobody has opened the preparation sheet of session 1 yet, so no carrier can be loaded.',
        },
      }),
    },
    {
      name: 'not-yet',
      model: page({
        openable: { allowed: false, number: 1, reason: 'Lock the plan first; then sessions can be opened.' },
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
            sitting: `s${i + 1}`,
            seat: i + 1,
            give: `${417 + i * 37}`,
            takeBack: i % 2 ? `${502 + i * 31}` : null,
            practice: i === 4,
            covered: i === 2,
          })),
          arrivals: Array.from({ length: 4 }, (_, i) => ({
            sitting: `w${i}`,
            alias: i === 1 ? longName : `Waiting ${i}`,
            audience: 'Stage',
            ready: i < 2,
            again: false,
            stage: i < 2 ? 'ready' : 'reading the cautions',
            nextSeat: 13,
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
          sentence: 'You opened the sheet for session 1 on 24 November at 10:20, so you know which sample is which.',
        },
      }),
    },
    {
      name: 'done',
      model: page({
        openable: { allowed: true, number: 3, reason: null },
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
          reason:
            'All 2 sessions of this study were held, and by its plan what was missed is lost. Close the study under Review.',
        },
        due: [],
        closedSessions,
      }),
    },
  ],
};
export default examples;
