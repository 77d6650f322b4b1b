import { alphaEach } from '../../protocols/alpha-each';
import { assumedRatings } from '../../protocols/first-impressions-power';
import { fewestTested } from '../../protocols/over-listeners';
import type { Plan } from '../../shared/plan';
import { chancePercent } from '../number-words';
import { verdictOn } from '../plan-grades-rows';
import { pointsWords, unitsCost } from '../plan-words';
import {
  type AssumedRatings,
  assumedFor,
  differencesOn,
  mostSought,
  powerOfMeans,
  sizeOfMeans,
} from './assumed-ratings';
import { type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { hasWindow } from './method-fields';
import { turnsOf } from './minutes';
import { roundsWords } from './rounds-words';
import type { FindsOfAudience } from './view-models';

/** Power to show a difference on the primary scale, counted in listeners. */
export function ratingFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  const assumed = assumedFor(plan);
  const { differenceSd, residualSd, units } = assumed;
  const alpha = alphaEach(plan);
  const on = verdictOn(plan);
  const aim = toFind(`${pointsWords(smallest.value)}${on === null ? '' : ` on ${on}`}`, beta);
  const asked = [...new Set([...differencesOn(assumed).filter((points) => points <= assumed.widest), smallest.value])];
  const needed = sizeOfMeans(assumed, smallest.value, alpha, beta);
  const most = units ? `${mostSought.toLocaleString('en')} listeners` : 'a million listeners';
  const audiences = plan.audiences.map(
    ({ name, listeners }): FindsOfAudience => ({
      name,
      listeners,
      power: asked
        .sort((a, b) => a - b)
        .map((points) => {
          const power = powerOfMeans(assumed, listeners, points, alpha);
          return {
            effect: pointsWords(points),
            power: chancePercent(power),
            miss: null,
            percent: Math.round(power * 100),
            smallest: points === smallest.value,
          };
        }),
      critical: null,
      needed: neededWords(needed, listeners, aim, most),
    }),
  );
  const { tasteShare } = assumedRatings;
  const windowed = hasWindow(plan.method.id);
  const sixth = windowed ? '' : ', a sixth of the scale';
  return {
    trialsWords: windowed ? samplesWords(plan) : roundsWords(plan),
    ifTruly: 'If truly apart by',
    audiences,
    warnings: [
      ...audiences.flatMap((audience) =>
        audience.listeners < fewestTested
          ? [`${audience.name}: too few to test; it takes ${fewestTested} listeners at least.`]
          : weakWarnings([audience], 'difference'),
      ),
      ...unitWarnings(assumed),
    ],
    counted: `Counted in listeners: ${windowed ? 'sessions and hidden repeats' : 'to rate again'} make${windowed ? '' : 's'} one listener’s ratings steadier, but never make${windowed ? '' : 's'} a second listener.`,
    assumptions: [
      `Assumes that a rating varies by ${pointsWords(short(residualSd))}${sixth} (standard deviation) from one time to the next, and tastes by ${tasteShare === 0.5 ? 'half' : tasteShare} of that variance, so that listeners’ differences vary by ${short(differenceSd)}${units ? `; and that units of one prototype vary by ${pointsWords(short(units.sd))}` : ''}. A pilot knows better${windowed ? unitsCost(plan) : ''}.`,
      ...(assumed.worth < 1
        ? [
            `Each listener rates some samples only, so that a panel is reckoned as ${Math.round(100 * assumed.worth)}\u00a0% of it who rate both of two.`,
          ]
        : []),
      ...((plan.method.spec as { screening?: boolean }).screening
        ? [
            'Post-screening isn’t reckoned with: whom the rule leaves out will be missing, so ask more people than are needed.',
          ]
        : []),
    ],
  };
}

/** So many degrees of freedom and more are called enough: then the t that is needed is less than a tenth above the normal's. */
const enoughFreedom = 14;

function unitWarnings({ units }: AssumedRatings): string[] {
  if (units === null || units.freedom >= enoughFreedom) return [];
  const { of, freedom } = units;
  const count = of[0] === of[1] ? `${of[0]} units of each of the two` : `${of[0]} and ${of[1]} units of the two`;
  const left = (free: number) => `${free} ${free === 1 ? 'degree' : 'degrees'} of freedom`;
  return [
    `Units are reckoned with, and few: ${count} leave ${left(freedom)} to tell how far units lie apart, so that one odd unit weighs much. One more of each leaves ${freedom + 2}.`,
  ];
}

const short = (value: number): number => Number(value.toFixed(value >= 10 ? 1 : 2));

function samplesWords(plan: Plan): string {
  const repeats = plan.controls.hiddenRepeats ?? 0;
  const hidden = repeats === 0 ? '' : `, ${repeats} of them ${repeats === 1 ? 'a hidden repeat' : 'hidden repeats'}`;
  return `${turnsOf(plan)} samples${hidden}. The scales are tried out first, without a sample: no first impression is spent.`;
}

/** Methods that are taken to follow something over days. */
const overDays = ['first-impressions', 'attribute-profile'];

/** What time is needed for: of the whole plan, since what happens over all sittings is told whichever of them count. */
export function overTimeWarnings(plan: Plan): string[] {
  const { count, minimumGapHours: gap } = plan.sessions;
  const last = hasWindow(plan.method.id) ? 'an impression' : 'a description';
  if (count === 1) {
    if (!overDays.includes(plan.method.id)) return [];
    return plan.controls.hiddenRepeats
      ? [`One session can’t tell whether ${last} lasts. Three on different days can.`]
      : [`One session without hidden repeats can tell neither whether ${last} lasts nor how steady ratings are.`];
  }
  return [
    ...(count === 2 ? ['Two sessions hardly tell a drift from a day’s mood. Three or more do.'] : []),
    ...(gap < 12
      ? ['With so short a gap, sittings may fall on one day: impressions over days need a night between.']
      : []),
  ];
}
