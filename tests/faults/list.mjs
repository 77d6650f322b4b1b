/**
 * Deliberate faults: in which file which text is replaced by which (and how often it stands there, if not once), and
 * the test files that must catch it.
 */

import { amendments } from './amendments.mjs';
import { anchors } from './anchors.mjs';
import { besideTheVerdict } from './beside-the-verdict.mjs';
import { brought } from './brought.mjs';
import { dryRun } from './dry-run.mjs';
import { fault } from './fault.mjs';
import { firstPage } from './first-page.mjs';
import { keep } from './keep.mjs';
import { leftOut } from './left-out.mjs';
import { looks } from './looks.mjs';
import { loudness } from './loudness.mjs';
import { match } from './match.mjs';
import { abx } from './methods/abx.mjs';
import { asked } from './methods/asked.mjs';
import { attributes } from './methods/attributes.mjs';
import { firstImpressions } from './methods/first-impressions.mjs';
import { grades } from './methods/grades.mjs';
import { inOrders } from './methods/in-orders.mjs';
import { ranking } from './methods/ranking.mjs';
import { standards } from './methods/standards.mjs';
import { yesNo } from './methods/yes-no.mjs';
import { overTime } from './over-time.mjs';
import { planning } from './planning.mjs';
import { player } from './player.mjs';
import { prepare } from './prepare.mjs';
import { products } from './products.mjs';
import { proofs } from './proofs.mjs';
import { report } from './report.mjs';
import { reviewGrades } from './review-grades.mjs';
import { reviewMethods } from './review-methods.mjs';
import { roles } from './roles.mjs';
import { sittings } from './sittings.mjs';
import { soundFiles } from './sound-files.mjs';
import { soundServed } from './sound-served.mjs';
import { soundTold } from './sound-told.mjs';
import { consistency } from './stats/consistency.mjs';
import { designs } from './stats/designs.mjs';
import { differences } from './stats/differences.mjs';
import { preferences } from './stats/preferences.mjs';
import { ratings } from './stats/ratings.mjs';
import { sequential } from './stats/sequential.mjs';
import { thresholds } from './stats/thresholds.mjs';
import { tells } from './tells.mjs';
import { unitsMeasured } from './units-measured.mjs';
import { wire } from './wire.mjs';

export const faults = [
  // Methods
  fault(
    'the sign of the score',
    'protocols/paired-preference.ts',
    [['picked === null ? 0 : picked === 1 ? 1 : -1', 'picked === null ? 0 : picked === 1 ? -1 : 1']],
    'protocols/contract',
    'blinding/outcomes',
  ),
  fault(
    'holm left out',
    'protocols/paired-preference-analysis.ts',
    [['pair.pAdjusted = adjusted[index] as number', 'pair.pAdjusted = pair.p']],
    'protocols/paired-preference-analysis',
    'protocols/null-studies',
  ),
  fault(
    'the trial as the unit, not the listener',
    'protocols/pair-results.ts',
    [
      ['byListener.get(outcome.listener)', 'byListener.get(outcome.trial)'],
      ['byListener.set(outcome.listener, tally)', 'byListener.set(outcome.trial, tally)'],
    ],
    'protocols/null-studies',
  ),
  fault(
    'the order of presentation ignored in the analysis',
    'protocols/pair-results.ts',
    [['outcome.value > 0 === straight', 'outcome.value > 0']],
    'protocols/paired-preference-analysis',
  ),
  fault(
    'α taken for more than it is',
    'protocols/paired-preference-analysis.ts',
    [['if (primary.pAdjusted <= alpha)', 'if (primary.pAdjusted <= 2 * alpha)']],
    'protocols/null-studies',
  ),
  fault(
    'position not balanced',
    'protocols/balanced-pairs.ts',
    [['const reverse = (listener + repeat) % 2 === 1', 'const reverse = false']],
    'protocols/balanced-pairs',
  ),
  fault(
    'place in the sequence not balanced',
    'protocols/balanced-pairs.ts',
    [['williamsRow(m, listener % m)', 'williamsRow(m, 0)']],
    'protocols/balanced-pairs',
  ),
  fault(
    'answers always shown in the order of hearing',
    'protocols/paired-preference.ts',
    [["return shuffled(answers, randomness.at('shown', ordinal))", 'return answers']],
    'blinding/draw',
  ),
  fault(
    'a trial put again always the same way round',
    'protocols/paired-preference.ts',
    [['below(2) === 1', 'below(2) === 2']],
    'blinding/draw',
  ),
  ...abx,
  ...looks,
  ...planning,
  ...brought,
  ...asked,
  ...firstImpressions,
  ...inOrders,
  ...yesNo,
  ...ranking,
  ...attributes,
  ...grades,
  ...standards,
  // Blinding
  fault(
    'codes of every listener the same',
    'server/blinding/draw.ts',
    [['.slice(slot * count, (slot + 1) * count)', '.slice(0, count)']],
    'blinding/draw',
  ),
  fault(
    'spare codes given twice',
    'server/blinding/draw.ts',
    [['taken = Math.max(taken, codes.length - codes.indexOf(code))', 'taken = 0']],
    'blinding/serving',
  ),
  fault(
    'one list of codes for all sessions',
    'server/blinding/draw.ts',
    [[".at('session', session)", ".at('session', 1)"]],
    'blinding/draw',
  ),
  fault(
    'every listener hears the first unit',
    'server/blinding/draw.ts',
    [['units[(offset + seat.ordinal + seat.sitting + (beside ? 1 : 0)) % units.length]', 'units[0]']],
    'blinding/draw',
  ),
  fault(
    'small numbers favoured',
    'server/blinding/randomness.ts',
    [['if (word < limit) return word % n', 'return word % n']],
    'blinding/randomness',
  ),
  fault(
    'the generator’s state stands still',
    'server/blinding/hmac-drbg.ts',
    [['this.update(null);', '']],
    'blinding/hmac-drbg',
  ),
  fault(
    'the hash of the entry before not checked',
    'server/blinding/ledger.ts',
    [['entry.previous !== previous || ', '']],
    'blinding/ledger',
  ),
  fault(
    'who did it left out of the hash',
    'server/blinding/ledger.ts',
    [['canonicalJson({ seq, at, actor, kind, body })', 'canonicalJson({ seq, at, kind, body })']],
    'blinding/ledger',
  ),
  fault(
    'ledger entries may be deleted',
    'server/store/sqlite.ts',
    [["['UPDATE', 'DELETE']", "['UPDATE']"]],
    'blinding/ledger',
  ),
  fault(
    'repeats that everybody can read from their code',
    'protocols/rounds.ts',
    [['repeats > 0 && codesLast(plan)', 'repeats > 99']],
    'protocols/first-impressions',
    'protocols/check-all',
  ),
  ...sittings,
  ...soundFiles,
  ...soundServed,
  ...soundTold,
  ...proofs,
  ...amendments,
  fault(
    'ABX with shared units is called double blind',
    'server/review/blind.ts',
    [['told ? listenersOnly : ', '']],
    'blinding/shared-units',
  ),
  fault(
    'the third sample goes out with its code in sight',
    'server/run/desk-hands.ts',
    [['!codeShown(form, trial.presentation - 1, plan)', 'codeShown(form, trial.presentation - 1, plan)']],
    'listen/third-sample',
  ),
  fault('a card is no work at the desk', 'server/roles/clashes.ts', [["  'card-made',\n", '']], 'run/panel'),
  fault(
    'a place left empty is the middle of the scale',
    'server/listen/form-act.ts',
    [[" && value.trim() !== ''", '']],
    'listen/first-impression',
  ),
  fault(
    'a page loaded anew after the window is a hearing',
    'server/blinding/story.ts',
    [['if (body.all === true || inWindow(trial, body, story.plan)) hear', 'hear']],
    'blinding/impressions',
  ),
  fault(
    'data that are there are opened without waiting for the disk',
    'server/store/open.ts',
    [['if (!lasting && existsSync(file))', 'if (!lasting && existsSync(folder + file))']],
    'store/open',
  ),
  fault(
    'void trials analysed',
    'server/blinding/outcomes.ts',
    [["trial.state !== 'answered'", "trial.state === 'open'"]],
    'blinding/outcomes',
    'review/flow',
  ),
  fault('practice analysed', 'server/blinding/outcomes.ts', [['if (trial.practice || ', 'if (']], 'blinding/outcomes'),
  fault(
    'a key that does not fit is taken',
    'server/blinding/outcomes.ts',
    [['if (!drawn || misfit) throw', 'if (!drawn) throw']],
    'blinding/outcomes',
  ),
  fault(
    'the commitment binds no plan',
    'server/blinding/key.ts',
    [["sha256(seed, Buffer.from(hash, 'hex'))", 'sha256(seed)']],
    'blinding/serving',
  ),
  fault(
    'a seal bound to nothing',
    'server/blinding/seal.ts',
    [['.setAAD(Buffer.from(context))', '', 2]],
    'blinding/seal',
  ),
  // Store
  fault(
    'told before it is committed',
    'server/store/write-queue.ts',
    [['tell.push(() => job.resolve(value))', 'job.resolve(value)']],
    'store/write-queue',
  ),
  fault(
    'a commit that may be lost with the power',
    'server/store/sqlite.ts',
    [["lasting ? 'FULL'", "lasting ? 'NORMAL'"]],
    'store/open',
  ),
  // Review
  fault(
    'the sentence not turned to whoever is ahead',
    'server/review/preference/sentence.ts',
    [['const forward = share.value >= 0.5', 'const forward = true']],
    'review/sentence',
  ),
  fault(
    'lost trials not counted',
    'server/review/flow.ts',
    [["trial.state === 'open'", "trial.state === 'lost'"]],
    'review/flow',
  ),
  fault(
    'formulas left live',
    'server/review/answers-csv.ts',
    [['escape_formulas: true', 'escape_formulas: false']],
    'review/answers-csv',
  ),
  fault(
    'styles left in the chart',
    'server/chart.ts',
    [["for (const style of figure.querySelectorAll('style')) style.remove();", '']],
    'review/charts',
  ),
  fault(
    'what came after the unsealing is analysed',
    'server/review/findings.ts',
    [['record.ledger.slice(0, end + 1)', 'record.ledger']],
    'review/findings',
  ),
  // House
  fault(
    'a room that holds the key',
    'server/review/flow.ts',
    [['import type { FlowCounts }', "import '../blinding/key';\nimport type { FlowCounts }"]],
    'house/arrows',
  ),

  // Backups and older copies
  ...keep,

  // What comes too late, and what is left out
  ...leftOut,

  // Page one of the letter
  ...firstPage,

  // Tells
  ...reviewMethods,
  ...report,
  ...reviewGrades,
  ...overTime,
  ...products,
  ...unitsMeasured,
  ...tells,

  // Roles
  ...roles,

  // What phones and the desk get
  ...besideTheVerdict,
  ...dryRun,
  ...wire,

  // Sound
  ...loudness,

  // Sound: levels, beginnings, renders
  ...match,
  ...anchors,

  // What is prepared
  ...prepare,

  // Sound: what a listener hears
  ...player,

  // Statistics: at least one in each call
  ...differences,
  ...sequential,
  ...preferences,
  ...ratings,
  ...consistency,
  ...thresholds,
  ...designs,
];
