import { fault } from './fault.mjs';

/** Faults in what comes too late, in what is shown by code, and in what is left out. */
export const leftOut = [
  fault(
    'left out: a late answer is refused',
    'server/listen/act-handler.ts',
    [['if (!late || !parsed.success', 'if (late || !parsed.success']],
    'flows/late-answer',
  ),
  fault(
    'left out: a late answer may be any code',
    'server/listen/keep-apart.ts',
    [['const { body } = await shapeOf(context, input, trial);', 'const body = { answer: input.answer };']],
    'flows/late-answer',
  ),
  fault(
    'left out: a trial is answered late twice',
    'server/listen/keep-apart.ts',
    [[' || apart.includes(kind)) throw again', ') throw again']],
    'flows/late-answer',
  ),
  fault(
    'left out: late words count as an answer',
    'server/blinding/quarantined.ts',
    [[" && body.kind !== 'words'", '']],
    'blinding/exclusions',
  ),
  fault(
    'left out: decided when it says so, not when it stands there',
    'server/blinding/exclusions.ts',
    [
      [
        "const decided = seq < unsealed ? ('blind' as const) : ('afterwards' as const);",
        "const decided = body.decided as Exclusion['decided'];",
      ],
    ],
    'blinding/exclusions',
  ),
  fault(
    'left out: what was decided blind is taken back afterwards',
    'server/blinding/exclusions.ts',
    [[' || one.decided !== decided)', ')']],
    'blinding/exclusions',
  ),
  fault(
    'left out: something after the signature',
    'server/blinding/exclusions.ts',
    [['decision < 0 ? ledger : ledger.slice(0, decision)', 'decision < 0 ? ledger : ledger']],
    'blinding/exclusions',
  ),
  fault(
    'left out: the verdict changes by what was decided afterwards',
    'server/review/findings.ts',
    [
      ['const blind = decidedBlind(story);', 'const blind = exclusionsOf(record.ledger);'],
      ['import { findingsHead } from', 'import { exclusionsOf, findingsHead } from'],
    ],
    'review/left-out',
  ),
  fault(
    'left out: a late scale takes the whole answer along',
    'server/blinding/left-out.ts',
    [
      [
        '.map(({ late }) => ({ ...own, late }))',
        '.map((_, __, all) => ({ ...own, late: all.some(({ late }) => late) }))',
      ],
    ],
    'review/left-out',
  ),
  fault(
    'left out: the analysis beside leaves out by rule all the same',
    'server/review/left-out-findings.ts',
    [['without: some ? analysed(all, story) : null', 'without: some ? analysed(without([]), story) : null']],
    'review/any-study',
    'review/left-out',
  ),
  fault(
    'left out: the page by code shows what the third sample was',
    'server/review/data-page.ts',
    [["(place === hidden ? 'third' : ", '(']],
    'review/data-page',
  ),
  fault(
    'left out: looking at the data by code stands nowhere',
    'server/review/exclude.ts',
    [["  await context.record('blind-review-opened', {});\n", '']],
    'flows/late-answer',
  ),
];
