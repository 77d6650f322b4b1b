import type { FlowRow } from '../../../server/review/view-models';

const row = (label: string, count: number, detail = '', loss = false): FlowRow => ({ label, count, detail, loss });

export const flow: FlowRow[] = [
  row('Listeners planned', 20),
  row('Joined', 19),
  row('Never came', 1, 'no personal link was used', true),
  row('Finished every turn', 17),
  row('Stopped early', 2, 'one unwell, one had to leave', true),
  row('Trials put', 221),
  row('Void, put again', 3, 'wrong carrier handed over', true),
  row('Lost', 6, 'the sitting ended first', true),
  row('Trials analysed', 212),
];
