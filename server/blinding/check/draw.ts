import type { LedgerEntry } from '../../../shared/record';
import { planVersions } from '../amendments';
import { canonicalJson } from '../canonical-json';
import { sha256 } from '../hash';
import { gatheredElsewhere, importedEntry } from '../imported';
import { commitmentOf } from '../key';
import { replayDraw, unlikeKey } from '../replay';
import { storyOf } from '../story';
import { type CheckLine, fails, holds, untold } from './line';

/** Each version of the plan against its hash. */
export function planLines(ledger: readonly LedgerEntry[]): CheckLine[] {
  return planVersions(ledger).map(({ version, plan, hash, from }, index) => {
    // The draw goes by the version, so whoever has the seed must not be free to choose it.
    if (version !== index + 1) return fails('Plan', `says version ${version} where version ${index + 1} is due`, from);
    const raw = ledger.find(({ seq }) => seq === from)?.body.plan;
    const own = sha256(canonicalJson(raw ?? plan));
    return own === hash
      ? holds('Plan', `version ${version}, entry ${from}: ${hash}`)
      : fails('Plan', `version ${version} is not what its hash was made of`, from);
  });
}

const notDrawn = `${gatheredElsewhere}: which sample had which code is as the file says, and can’t be told`;

/** The commitment against the seed, and the draw done again from it. */
export function drawLines(ledger: readonly LedgerEntry[]): CheckLine[] {
  if (importedEntry(ledger)) {
    return [untold('Commitment', `${gatheredElsewhere}: nothing was promised`), untold('Draw', notDrawn)];
  }
  const { key, commitment } = storyOf(ledger);
  const lockedHash = planVersions(ledger)[0]?.hash ?? '';
  const unsealed = ledger.find(({ kind }) => kind === 'unsealed');
  if (key === null || !unsealed) {
    const sealed = 'the study is sealed: seed and key are not published yet';
    return [untold('Commitment', `${commitment}; ${sealed}`), untold('Draw', sealed)];
  }
  const seed = Buffer.from(key.seed, 'hex');
  const kept = /^[0-9a-f]{64}$/.test(key.seed) && commitmentOf(seed, lockedHash) === commitment;
  const promise = kept
    ? holds('Commitment', `${commitment}, made of this seed and the plan as it was locked`)
    : fails('Commitment', 'is not made of the published seed and the plan as it was locked', unsealed.seq);
  const replay = replayDraw(ledger, seed);
  const { misdrawn, sittings } = replay;
  if (misdrawn) return [promise, fails('Draw', misdrawn.detail, misdrawn.entry)];
  const unlike = unlikeKey(replay, key);
  if (unlike) return [promise, fails('Draw', unlike, unsealed.seq)];
  const trials = sittings.reduce((sum, sitting) => sum + sitting.trials.length, 0);
  return [promise, holds('Draw', `${sittings.length} sittings, ${trials} trials: each as the seed gives it`)];
}
