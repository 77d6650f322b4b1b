import QRCode from 'qrcode';
import type { Field, ProblemLine, StaffFrame, StudyHeader } from '../../../server/web/page';
import type { StudyId } from '../../../shared/brands';
import type { StudyState } from '../../../shared/states';
import { csrf } from '../examples/branded';

/** What a view is shown with: in the gallery, in the template tests, in the browser tests. All of it is invented. */
export interface ViewExamples<Model> {
  view: string;
  layout: 'staff';
  examples: { name: string; model: Model }[];
}

export const base = '/studies/01J9Z0000000000000000VENT1';

const stateWords: Record<StudyState, string> = {
  draft: 'Draft',
  locked: 'Locked',
  running: 'Running',
  closed: 'Closed',
  unsealed: 'Unsealed',
  signed: 'Signed',
  refused: 'Refused',
};

export const study = (
  tab: StudyHeader['tab'],
  state: StudyState,
  blindWarning: string | null = null,
  title = 'Vent and damper, second round',
): StudyHeader => ({
  id: '01J9Z0000000000000000VENT1' as StudyId,
  title,
  state,
  stateWords: stateWords[state],
  tab,
  open: { plan: true, prepare: true, run: true, review: true, team: true },
  blindWarning,
});

export const frame = (title: string, header: StudyHeader | null, more: Partial<StaffFrame> = {}): StaffFrame => ({
  title,
  csrf,
  staff: { name: 'Mara Winter' },
  study: header,
  notice: null,
  problems: [],
  ...more,
});

export const field = (name: string, value = '', error: string | null = null): Field => ({
  id: name,
  name,
  value,
  error,
});

export const problem = (path: string, message: string): ProblemLine => ({
  code: 'bad-input',
  path,
  message,
  field: path || null,
});

/** A QR code as an SVG without style, as the server draws it. */
export function qrSvg(text: string): string {
  const { modules } = QRCode.create(text, { errorCorrectionLevel: 'M' });
  const edge = modules.size + 8;
  let path = '';
  for (let y = 0; y < modules.size; y++)
    for (let x = 0; x < modules.size; x++) if (modules.get(x, y)) path += `M${x + 4} ${y + 4}h1v1h-1z`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${edge} ${edge}" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h${edge}v${edge}H0z"/><path fill="#000" d="${path}"/></svg>`;
}

/** 64 hexadecimal digits that are nobody's hash. */
export const hash = (digit: string): string => `${digit}7c04e91b2d8`.repeat(6).slice(0, 64);

export const longName = 'Bore 2.4 mm, felt damper 1500 rayl, second pressing of May';
