import { type Plan, plays } from '../../../shared/plan';
import type { LedgerEntry, StudyRecord } from '../../../shared/record';
import type { SoundMatch } from '../../../shared/sound-match';
import { planVersions } from '../amendments';
import { canonicalJson } from '../canonical-json';
import { gatheredElsewhere, importedEntry } from '../imported';
import { toldTrials } from '../outcomes';
import { filesOf, matchesIn } from '../sound-matches';
import { storyOf } from '../story';
import { type CheckLine, fails, holds, untold } from './line';

const what = 'Sound';

interface Made {
  seq: number;
  trial: string;
  rate: number;
  frames: number;
  presentations: { presentation: number; sha256: string }[];
}

/**
 * Whether every file that was played belongs to a trial and to what was matched before it, and whether no presentation
 * had two and no two had the same. None where the listener's page plays nothing.
 */
export function soundLines({ ledger, audio }: StudyRecord): CheckLine[] {
  const [locked] = planVersions(ledger);
  if (!locked || !plays(locked.plan)) return [];
  if (importedEntry(ledger)) return [untold(what, `${gatheredElsewhere}: what was played can’t be told`)];
  const made = ledger.filter(({ kind }) => kind === 'sound-made').map(madeOf);
  const fault =
    ofOtherFiles(ledger) ??
    ofOtherAnchors(ledger, locked.plan) ??
    ofNothing(ledger, made) ??
    twice(made) ??
    unmade(ledger, made) ??
    ofOtherExcerpt(ledger, made);
  if (fault) return [fault];
  if (canonicalJson(audio) !== canonicalJson(filesOf(ledger))) {
    return [fails(what, 'the list of files is not what the ledger has as matched')];
  }
  const files = made.reduce((sum, { presentations }) => sum + presentations.length, 0);
  const brought = audio.length === 1 ? '1 file was' : `${audio.length} files were`;
  return [
    holds(
      what,
      `${brought} brought and matched; ${files} were made of ${audio.length === 1 ? 'it' : 'them'}, each for one presentation and unlike all others`,
    ),
  ];
}

const madeOf = ({ seq, body }: LedgerEntry): Made => ({
  seq,
  trial: String(body.trial),
  rate: Number(body.rate),
  frames: Number(body.frames),
  presentations: Array.isArray(body.presentations) ? (body.presentations as Made['presentations']) : [],
});

/** Matched anew once somebody listened: other trims, never other files or other cuts. */
function ofOtherFiles(ledger: readonly LedgerEntry[]): CheckLine | null {
  const begun = ledger.find(({ kind }) => kind === 'session-opened')?.seq ?? Number.POSITIVE_INFINITY;
  const matches = matchesIn(ledger);
  const first = matches.findLast(({ seq }) => seq < begun);
  const cuts = ({ excerpts }: SoundMatch) =>
    canonicalJson(
      excerpts.map(({ id, from, to, files }) => [
        id,
        from,
        to,
        files.map(({ sha256, lowPassHz = 0 }) => [sha256, lowPassHz]),
      ]),
    );
  const other = matches.find(({ seq, match }) => seq > begun && first && cuts(match) !== cuts(first.match));
  return other ? fails(what, 'other files, or other parts of them, than those that were listened to', other.seq) : null;
}

/** An anchor is the reference below the frequency of the plan, at the gain of the reference; nothing else is low-passed. */
function ofOtherAnchors(ledger: readonly LedgerEntry[], { prototypes, method }: Plan): CheckLine | null {
  const { reference } = method.spec as { reference?: unknown };
  for (const { seq, match } of matchesIn(ledger)) {
    for (const { files } of match.excerpts) {
      const of = files.find(({ prototype }) => prototype === reference);
      const odd = files.some(({ prototype, sha256, gain, lowPassHz }) => {
        const anchor = prototypes.find(({ id }) => id === prototype)?.anchor;
        return lowPassHz !== anchor?.lowPassHz || (anchor && (sha256 !== of?.sha256 || gain !== of.gain));
      });
      if (odd) return fails(what, 'an anchor was made otherwise than the plan has it', seq);
    }
  }
  return null;
}

/** Made for no trial, for a sample that it hasn't, or of nothing that was matched by then. */
function ofNothing(ledger: readonly LedgerEntry[], made: readonly Made[]): CheckLine | null {
  const matches = matchesIn(ledger);
  const samples = new Map<string, { seq: number; count: number }>();
  for (const { seq, kind, body } of ledger) {
    const trials = kind === 'seated' ? (body.trials as unknown[] | undefined) : kind === 'trial-added' ? [body] : [];
    for (const one of (trials ?? []) as { trial: string; codes?: unknown[] }[]) {
      samples.set(one.trial, { seq, count: one.codes?.length ?? 0 });
    }
  }
  for (const { seq, trial, rate, frames, presentations } of made) {
    const known = samples.get(trial);
    if (!known || known.seq > seq) return fails(what, 'a file was made for no trial that there was', seq);
    if (presentations.some(({ presentation }) => !(presentation >= 1 && presentation <= known.count))) {
      return fails(what, 'a file was made for a sample that its trial doesn’t have', seq);
    }
    const match = matches.findLast((one) => one.seq < seq)?.match;
    if (!match) return fails(what, 'a file was made before anything was matched', seq);
    if (!match.excerpts.some((one) => one.rate === rate && one.to - one.from === frames)) {
      return fails(what, 'a file is as long as no excerpt that was matched', seq);
    }
  }
  return null;
}

/** Each file has noise of its own, so that none is like another; and what was made once stays what it was. */
function twice(made: readonly Made[]): CheckLine | null {
  const hashes = new Map<string, string>();
  const owners = new Map<string, string>();
  for (const { seq, trial, presentations } of made) {
    for (const { presentation, sha256 } of presentations) {
      const place = `${trial} ${presentation}`;
      if ((hashes.get(place) ?? sha256) !== sha256) return fails(what, 'one sample was made twice, and not alike', seq);
      if ((owners.get(sha256) ?? place) !== place) return fails(what, 'two samples had the very same file', seq);
      hashes.set(place, sha256);
      owners.set(sha256, place);
    }
  }
  return null;
}

/** Answered without a file for each sample: nothing of it can have been heard. */
function unmade(ledger: readonly LedgerEntry[], made: readonly Made[]): CheckLine | null {
  const of = (trial: string, before: number) =>
    new Set(
      made
        .filter((one) => one.trial === trial && one.seq < before)
        .flatMap(({ presentations }) => presentations.map(({ presentation }) => presentation)),
    ).size;
  for (const { id, state, codes } of storyOf(ledger).sittings.flatMap(({ trials }) => trials)) {
    if (state !== 'answered') continue;
    const answered = ledger.find(({ kind, body }) => kind === 'answered' && body.trial === id);
    if (answered && of(id, answered.seq) < codes.length) {
      return fails(what, 'answered without a file for each of its samples', answered.seq);
    }
  }
  return null;
}

/** Once it is known which excerpt each trial has: a file that is as long as another excerpt. */
function ofOtherExcerpt(ledger: readonly LedgerEntry[], made: readonly Made[]): CheckLine | null {
  const story = storyOf(ledger);
  if (!story.key) return null;
  const matches = matchesIn(ledger);
  const excerpts = new Map<string, string | null>(toldTrials(story).map(({ trial, excerpt }) => [trial.id, excerpt]));
  const odd = made.find(({ seq, trial, rate, frames }) => {
    const match = matches.findLast((one) => one.seq < seq)?.match;
    const own = match?.excerpts.find(({ id }) => id === excerpts.get(trial));
    return !own || own.rate !== rate || own.to - own.from !== frames;
  });
  return odd ? fails(what, 'a file is not of the excerpt that was drawn for its trial', odd.seq) : null;
}
