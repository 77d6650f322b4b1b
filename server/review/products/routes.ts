import { createHash } from 'node:crypto';
import { type Request, Router } from 'express';
import { apart, commonAudiences, commonPrototypes } from '../../../protocols/common-ground';
import { protocolOf } from '../../../protocols/index';
import { linkedStudies } from '../../../protocols/linked-studies';
import type { LedgerEntry } from '../../../shared/record';
import { verdictWordsIn } from '../../../shared/words/en';
import { entriesOf } from '../../blinding/amendments';
import { recordOf } from '../../blinding/record';
import type { Parts } from '../../parts';
import { methodNames } from '../../plan-words';
import { type ProductStudy, productKey, studiesOfProducts } from '../../products';
import { signedIn, studyStateWords } from '../../study-page';
import { utcMinute } from '../../time-words';
import { valuesOf } from '../../web/forms';
import { Refusal } from '../../web/refusal';
import { staffFrame } from '../../web/visitor';
import type { Computings } from '../computing/computings';
import type { Reading } from '../computing/reading';
import { listed } from '../listed';
import { apartWords, identityWords } from './apart-words';
import { countedIn } from './counted';
import { linkedSection } from './linked-section';
import type { ComparedStudies, HistoryEntry, ProductPage, ProductsPage } from './view-models';

/** Unsealed, whether or not it was decided. */
const open = ({ study }: ProductStudy): boolean => ['unsealed', 'signed', 'refused'].includes(study.state);

/** Intervals of two studies are subtracted only at one level. */
const level = 0.95;

/** What is being tuned, over its studies: no study's page, so that each study in it is asked for by itself. */
export function productRoutes(parts: Parts, computings: Pick<Computings, 'of' | 'whole'>): Router {
  const { store, views } = parts;
  const router = Router();

  /** Studies whose review this person may see, by the product's key, the newest first. */
  async function products(req: Request): Promise<Map<string, ProductStudy[]>> {
    const found = new Map<string, ProductStudy[]>();
    for (const one of await studiesOfProducts(store.db, signedIn(req).id)) {
      if (!one.rooms.includes('review')) continue;
      const key = productKey(one.product);
      found.set(key, [...(found.get(key) ?? []), one]);
    }
    return found;
  }

  router.get('/products', async (req, res) => {
    const all = [...(await products(req)).values()];
    const page: ProductsPage = {
      ...staffFrame(req, res, { title: 'Products' }),
      products: all
        .map((studies) => ({ studies, name: (studies[0] as ProductStudy).product }))
        .sort((a, b) => a.name.localeCompare(b.name, 'en'))
        .map(({ studies, name }) => ({
          name,
          url: `/products/${slugOf(name)}`,
          studies: studies.length === 1 ? '1 study' : `${studies.length} studies`,
          last: countWords(studies),
        })),
    };
    res.send(views.page('review/products', page));
  });

  router.get('/products/:product', async (req, res) => {
    const slug = String(req.params.product);
    const studies = [...(await products(req)).values()].find(([one]) => slugOf((one as ProductStudy).product) === slug);
    const [newest] = studies ?? [];
    if (!studies || !newest) {
      throw new Refusal('not-found', 'There is no such product in the studies that you may see.', {
        path: 'product',
        next: { label: 'All products', url: '/products' },
      });
    }
    const unsealed = await byUnsealing(studies.filter(open));
    const url = `/products/${slug}`;
    const { earlier = '', later = '' } = valuesOf(req.query);
    const choices = (chosen: string | undefined) =>
      unsealed.map(({ study, at }) => ({
        value: study.id as string,
        label: `${study.title}, ${at.slice(0, 10)}`,
        chosen: study.id === chosen,
      }));
    const page: ProductPage = {
      ...staffFrame(req, res, { title: newest.product }),
      name: newest.product,
      url,
      studies: await Promise.all(unsealed.map(entryOf)),
      sealed: studies
        .filter((one) => !open(one))
        .map(({ study }) => ({ title: study.title, state: studyStateWords[study.state], url: `/studies/${study.id}` })),
      compare:
        unsealed.length < 2
          ? null
          : {
              earlier: choices(earlier || unsealed[1]?.study.id),
              later: choices(later || unsealed[0]?.study.id),
              result: earlier === '' && later === '' ? null : await compared(unsealed, earlier, later),
            },
    };
    res.send(views.page('review/product', page));
  });

  interface Unsealed extends ProductStudy {
    at: string;
  }

  /** The newest first, by when they were unsealed. */
  async function byUnsealing(studies: readonly ProductStudy[]): Promise<Unsealed[]> {
    const found: Unsealed[] = [];
    for (const one of studies) {
      const entries: LedgerEntry[] = await entriesOf(store.db, one.study.id, ['unsealed']);
      found.push({ ...one, at: entries.at(-1)?.at ?? '' });
    }
    return found.sort((a, b) => (a.at < b.at ? 1 : a.at > b.at ? -1 : 0));
  }

  async function entryOf({ study, at }: Unsealed): Promise<HistoryEntry> {
    const reading = await computings.of(study.id, { patience: 300 });
    const shared = { title: study.title, url: `/studies/${study.id}/review`, unsealed: utcMinute(at) };
    if ('state' in reading) {
      const instead =
        reading.state === 'computing'
          ? 'Its verdicts are being computed. Come back to this page in a while.'
          : 'Its verdicts weren’t computed to their end. Its own page says more.';
      return { ...shared, question: '', method: '', prototypes: '', audiences: [], decided: '', instead };
    }
    const { plan, findings, broken } = reading;
    const { family } = protocolOf(plan.method.id);
    const results = [...findings.results, ...(findings.pooled?.result ? [findings.pooled.result] : [])];
    return {
      ...shared,
      question: plan.question,
      method: methodNames[plan.method.id] ?? plan.method.id,
      prototypes: listed(plan.prototypes.filter(({ anchor }) => !anchor).map(({ name }) => name)),
      audiences:
        broken === null
          ? results.map(({ audienceName, verdict, sentence }) => ({
              name: audienceName,
              verdict: verdictWordsIn(family, verdict).short,
              sentence,
            }))
          : [],
      decided: decidedWords(reading),
      instead: broken === null ? null : `The record was changed at entry ${broken}: nothing in it can be trusted.`,
    };
  }

  async function compared(unsealed: readonly Unsealed[], one: string, other: string): Promise<ComparedStudies> {
    const [first, second] = [one, other].map((id) => unsealed.find(({ study }) => study.id === id));
    if (!first || !second) {
      throw new Refusal('not-found', 'There is no such unsealed study of this product that you may see.', {
        path: first ? 'later' : 'earlier',
      });
    }
    if (first === second) {
      throw new Refusal('bad-input', 'That is the same study twice. Choose another beside it.', {
        path: 'later',
        allowed: 'two different studies',
      });
    }
    const [earlier, later] = first.at <= second.at ? [first, second] : [second, first];
    const readings = await Promise.all([earlier, later].map(({ study }) => computings.whole(study.id)));
    const [then, now] = readings as [Reading, Reading];
    const heading = `${earlier.study.title} and ${later.study.title}`;
    const nothing = { heading, identity: null, sections: [], note: null };
    if (then.broken !== null || now.broken !== null) {
      return { ...nothing, refused: ['A record was changed by hand: nothing in it can be trusted.'] };
    }
    const reasons = apart(then.plan, now.plan);
    if (reasons.length > 0) return { ...nothing, refused: apartWords(reasons, then.plan, now.plan) };
    const { common } = commonPrototypes(then.plan, now.plan);
    const before = countedIn(await recordOf(store.db, earlier.study.id), level);
    const after = countedIn(await recordOf(store.db, later.study.id), level);
    const titles = titlesOf(earlier, later);
    return {
      heading,
      refused: [],
      identity: identityWords(then.plan, now.plan),
      sections: commonAudiences(then.plan, now.plan).map(({ name, first: own, second: theirs }) =>
        linkedSection(name, linkedStudies(before(own), after(theirs), common, level), titles, then.plan),
      ),
      note: 'Explores, and decides nothing: the verdicts are those of each study. Panels, days and what else stood beside the samples differed, and every interval stands by itself. Where the same people listened both times, intervals are wider than they need be.',
    };
  }

  return router;
}

/** Titles may be alike, as of a study and its repetition. */
function titlesOf(earlier: { study: { title: string }; at: string }, later: { study: { title: string }; at: string }) {
  const same = earlier.study.title === later.study.title;
  return {
    earlier: same ? `${earlier.study.title} (${earlier.at.slice(0, 10)})` : earlier.study.title,
    later: same ? `${later.study.title} (${later.at.slice(0, 10)})` : later.study.title,
  };
}

function decidedWords({ decision }: Reading): string {
  if (!decision) return 'Not decided yet';
  const what = decision.kind === 'signed' ? 'Signed' : 'Refused';
  return `${what} by ${decision.name}, ${decision.at}${decision.invalid ? `. ${decision.invalid}` : ''}`;
}

function countWords(studies: readonly ProductStudy[]): string {
  const count = studies.filter(open).length;
  return count === 0 ? 'none unsealed yet' : `${count} unsealed`;
}

/** An address that can be read: what letters can't tell is told by a few digits of a hash of the name. */
export function slugOf(name: string): string {
  const key = productKey(name);
  const plain = key
    .normalize('NFKD')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  if (plain !== '' && plain.replaceAll('-', ' ') === key) return plain;
  const digits = createHash('sha256').update(key).digest('hex').slice(0, 8);
  return plain === '' ? digits : `${plain}-${digits}`;
}
