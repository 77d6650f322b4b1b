import type { Findings } from '../../shared/findings';
import type { FlowRow } from './view-models';

/** The flow in rows. While a study runs nothing counts as lost yet. */
export function flowRows(
  { flow }: Pick<Findings, 'flow'>,
  reasonWords: (key: string) => string,
  over = true,
): FlowRow[] {
  const { listeners: people, sittings, trials, voidReasons } = flow;
  const some = trials.leftOut + trials.partly > 0;
  const rest = some ? '' : '; analysed with the rest';
  const reasons = Object.entries(voidReasons).map(([reason, count]) => `${reasonWords(reason)}: ${count}`);
  return [
    row('Listeners planned', people.planned),
    row('Joined', people.joined),
    row(
      'Had a seat',
      people.seated,
      people.joined > people.seated ? `${people.joined - people.seated} joined and never sat` : '',
    ),
    row('Finished every sitting', people.finished),
    row(
      over ? 'Left, or missed a sitting' : 'Not finished yet',
      people.seated - people.finished,
      over ? 'what they answered is analysed' : '',
      people.seated > people.finished,
    ),
    row('Analysed', people.analysed),
    row('Sittings held', sittings.held),
    ...someRow('Cut short', sittings.cut, 'the listener or the desk ended them', true),
    ...someRow('Put off at check-in', sittings.postponed, 'by the plan’s rules, before anything was heard'),
    ...someRow('Marked at check-in', sittings.marked, `by the plan’s rules${rest}`),
    ...someRow('Samples heard elsewhere', sittings.outside, `since the last time, by the listener’s word${rest}`),
    row('Trials planned for them', trials.planned),
    row('Voided', trials.void, reasons.join('; '), trials.void > 0),
    row('Put again', trials.again),
    row(
      over ? 'Never answered' : 'Not answered yet',
      trials.lost,
      over && trials.lost > 0 ? 'the sitting ended first' : '',
      trials.lost > 0,
    ),
    ...(some
      ? [
          row('Answered', trials.answered),
          row('Left out', trials.leftOut, 'by the plan’s rules, or by code before unsealing', trials.leftOut > 0),
          row('Trials analysed', trials.analysed),
          ...someRow('Of them, with a scale left out', trials.partly, 'by the plan’s rules'),
        ]
      : [row('Answered and analysed', trials.analysed)]),
    ...someRow('Of them, answered late', trials.late, 'past the time that the plan allows; analysed with the rest'),
    ...(trials.controls === undefined
      ? []
      : [row('Of them, controls', trials.controls, 'they judge the panel and the samples, and count for no verdict')]),
    row('Practice, never analysed', trials.practice),
    ...someRow(
      'Came too late',
      trials.quarantined,
      'after the session or the study was closed; kept apart, and never answered above',
      true,
    ),
  ];
}

const row = (label: string, count: number, detail = '', loss = false): FlowRow => ({ label, count, detail, loss });

/** What seldom happens has a row only where it did. */
const someRow = (label: string, count: number, detail: string, loss = false): FlowRow[] =>
  count === 0 ? [] : [row(label, count, detail, loss)];
