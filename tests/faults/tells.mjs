import { fault } from './fault.mjs';

/** Faults in how blind a study is said to have been: the closing question, and what is looked over for tells. */
export const tells = [
  fault(
    'the closing question comes before the last sitting',
    'server/listen/closing-question.ts',
    [["sitting.state !== 'finished' || left > 0", "sitting.state !== 'finished'"]],
    'listen/closing-question',
  ),
  fault(
    'a second answer to the closing question is taken',
    'server/listen/closing-question.ts',
    [
      [
        '    if (before) {\n      // The second of two taps.\n',
        "    if (before?.body === '') {\n      // The second of two taps.\n",
      ],
      ['  if (await findGuess(db, study.id, sitting.listener_id)) return null;\n', ''],
    ],
    'listen/closing-question',
  ),
  fault(
    'labels stand in the order of the plan',
    'server/listen/closing-question.ts',
    [["    .sort((a, b) => a.label.localeCompare(b.label, 'en'));", '    .slice();']],
    'listen/closing-question',
  ),
  fault(
    'the code that no phone was shown is asked about',
    'server/listen/closing-question.ts',
    [['codeShown(form, at, plan)', 'true']],
    'listen/closing-question',
  ),
  fault(
    'two prototypes that listeners know by the same words',
    'server/plan/closing-problems.ts',
    [["text.normalize('NFKC').trim().toLowerCase()", 'text']],
    'plan/closing-question',
  ),
  fault(
    'having no idea counts as a wrong guess',
    'server/review/tells/guesses.ts',
    [['guess.choice === null || prototype === null', 'prototype === null']],
    'review/tells/guesses',
  ),
  fault(
    'luck is one half whatever there is to choose',
    'server/review/tells/guesses.ts',
    [['const chance = 1 / labels.length;', 'const chance = 1 / 2;']],
    'review/tells/guesses',
  ),
  fault(
    'more than luck raises no caution',
    'server/review/tells/page.ts',
    [['share.lower > chance ? 1 :', 'share.lower > 1 ? 1 :']],
    'review/tells/page',
  ),
  fault(
    'a block is dealt together with its neighbour',
    'protocols/within-blocks.ts',
    [['const j = start + Math.floor', 'const j = Math.floor']],
    'protocols/within-blocks',
  ),
  fault(
    'p counts those that are farther out only',
    'protocols/within-blocks.ts',
    [['if (spread() >= least) far++;', 'if (spread() > statistic + 0.01) far++;']],
    'protocols/within-blocks',
  ),
  fault(
    'what comes back between two trials begins the wait anew',
    'server/blinding/handling.ts',
    [['if (seat.out && !seat.out.heard) seat.since = at;', 'seat.since = at;']],
    'blinding/handling',
  ),
  fault(
    'a pause makes a long fit',
    'server/blinding/handling.ts',
    [['  if (seat.out) seat.out.from = null;\n', '']],
    'blinding/handling',
  ),
  fault(
    'the first of two is taken for the second',
    'server/review/tells/named.ts',
    [['first === last ? 0 : first ? 1 : -1', 'first === last ? 0 : first ? -1 : 1']],
    'review/tells/tests',
    'review/tells/named',
  ),
  fault(
    'codes of the day are tested by their numbers',
    'server/review/tells/tests.ts',
    [['codesLast(plan)\n        ? none(', 'plan.prototypes.length === 0\n        ? none(']],
    'review/tells/tests',
  ),
  fault(
    'only the file that plays is read',
    'server/blinding/presentation-sound.ts',
    [['of excerpt.files) {', 'of excerpt.files.filter((one) => wanted.has(one))) {']],
    'blinding/presentation-sound',
  ),
];
