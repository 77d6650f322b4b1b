import { expect, test } from 'vitest';
import { ownRankings } from '../../protocols/own-rankings';
import { analyseRanking } from '../../protocols/ranking-analysis';
import { friedman } from '../../stats/friedman';
import { nullOutcomes, nullStudies } from './ranking-nulls';

/**
 * Panels that prefer nothing: found in at most α of studies. Few studies each, since this runs every day; the long run
 * is `ranking-errors` of the bench.
 */
const studies = 150;
/** Where α is 0.05, more than these come in one of five thousand such tests. */
const most = 18;

const looked = [
  'complete, 4 by 12 three times, own tastes',
  'Page, 4 by 12 twice, own tastes',
  'blocks of 3 of 6, 20 once',
  'blocks of 3 of 4, 12 twice, own tastes',
];

test.each(looked)('%s: nothing is found in more studies than α allows', (name) => {
  const one = nullStudies.find((study) => study.name === name);
  if (!one) throw new Error(`no ${name}`);
  let [orders, preferred] = [0, 0];
  for (let study = 0; study < studies; study++) {
    const [result] = analyseRanking(nullOutcomes(one, study), one.plan, { verdictOnly: true }).results;
    if ((result?.pAdjusted ?? 1) <= 0.05) orders++;
    if (result?.verdict === 'preferred') preferred++;
  }
  expect(orders).toBeLessThanOrEqual(most);
  expect(orders).toBeGreaterThan(0);
  expect(preferred).toBeLessThanOrEqual(orders);
});

test('rankings taken as if each came from a listener of its own would find something far too often', () => {
  const one = nullStudies.find(({ name }) => name === looked[0]);
  if (!one) throw new Error('no such studies');
  let found = 0;
  for (let study = 0; study < studies; study++) {
    const scores = ownRankings(nullOutcomes(one, study), one.plan).flatMap(({ rankings }) =>
      rankings.map(({ items, ranks }) => items.map((_, item) => ranks[items.indexOf(item)] as number)),
    );
    if (friedman({ scores }).p <= 0.05) found++;
  }
  expect(found).toBeGreaterThan(2 * most);
});
