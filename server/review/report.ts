import type { StudyRecord } from '../../shared/record';
import { toolVersion } from '../root';
import type { StaffFrame } from '../web/page';
import type { Views } from '../web/views';
import { checkPart } from './check-part';
import type { Reading } from './computing/reading';
import { letterOf } from './letter';
import type { VerdictPage } from './view-models';

type Told = Pick<Reading, 'findings' | 'plan' | 'decision' | 'later' | 'notes'>;

/**
 * The report: the whole letter in one HTML file that needs nothing else. No script, no link to a server, no form; fonts and
 * styles are in it. The same record gives the same bytes, so it bears no time of its own.
 */
export function reportOf(record: StudyRecord, reading: Told, views: Views, style: string): string {
  const { plan, decision } = reading;
  const letter = letterOf(reading.findings, plan);
  const model: Omit<VerdictPage, keyof StaffFrame> & { csrf: string } = {
    ...{ csrf: '', base: '' },
    ...letter,
    blindNotes: [...reading.notes, ...letter.blindNotes],
    later: reading.later,
    decision,
    ...{ dataPage: null, sign: null, downloads: [] },
    waitsFor: decision === null ? 'Neither signed nor refused when this report was made.' : null,
  };
  const body = withoutHands(views.part('review/verdict', model));
  const check = views.part('review/parts/check-it', checkPart(record, plan, letter.findingsHash));
  return documentOf({
    title: `${plan.title} · report`,
    style: `${style}\n${runningWords(`${plan.title} · findings ${letter.findingsHash.slice(0, 16)}`)}`,
    body: `<header class="report-head"><p><strong>${safe(plan.title)}</strong> · report made by Fair Hearing, version ${safe(toolVersion)}, from a record of ${record.ledger.length} entries. Everything is in this one file; nothing in it can be pressed, and it fetches nothing.</p></header>\n${body}\n${check}`,
  });
}

/** On a page without a script everything that folds is open, and there is nothing to press. */
const withoutHands = (html: string): string =>
  html.replaceAll('<details ', '<details open ').replaceAll(/<p class="letter-print">.*?<\/p>/gs, '');

/** No source of anything but what stands in the file itself. */
const policy =
  "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'";

const documentOf = ({ title, style, body }: { title: string; style: string; body: string }): string =>
  `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="robots" content="noindex">
<title>${safe(title)}</title>
<style>
${style}
</style>
</head>
<body class="staff">
<main class="report" id="main">
${body}
</main>
</body>
</html>
`;

/** At the foot of every printed page, so that a page that went astray says what it is of. */
const runningWords = (words: string): string =>
  `@page { @bottom-left { content: "${inString(words)}"; color: #444444; font-family: system-ui, sans-serif; font-size: 8.5pt; } }`;

/** As a string of a style sheet that stands in a page: whatever a title holds, it ends neither. */
const inString = (text: string): string =>
  [...text]
    .map((one) => (/[\p{L}\p{N} .,·–-]/u.test(one) ? one : `\\${(one.codePointAt(0) ?? 32).toString(16)} `))
    .join('');

const safe = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
