import type { ProfileMap } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { decimals, percent } from '../../number-words';
import { listeners, pWords } from '../figures';
import { markedIn } from '../marked';
import { row, section, table } from '../rating/section';
import { scaleIn } from '../shown-scale';
import type { RatedSection } from '../view-models';
import { likingChart, profileChart } from './map-chart';
import { exploresOnly } from './responses-section';

/** A map of attributes, and over it where liking grows; one of each an audience. */
export function mapSections(map: ProfileMap, plan: Plan): RatedSection[] {
  const whose =
    plan.audiences.length > 1 ? `, ${plan.audiences.find(({ id }) => id === map.audience)?.name ?? map.audience}` : '';
  return [profileSection(map, whose, plan), ...likingSection(map, whose, plan)];
}

function profileSection(map: ProfileMap, whose: string, plan: Plan): RatedSection {
  const { attributes, prototypes, shares, scaled } = map;
  const marked = markedIn(plan);
  const kept = shares[0] + shares[1];
  return section({
    id: `map-${map.audience}`,
    heading: `A map of what they are like${whose}`,
    sentences: [
      `Two directions hold ${percent(kept)} of how prototypes differ over ${attributes.length} attributes: prototypes that lie near each other were described alike, and an attribute grows the way its line goes. ${exploresOnly}`,
    ],
    charts: [
      {
        svg: profileChart(map, plan),
        caption: `Principal components of mean ratings, ${scaled ? 'each attribute counting alike' : 'attributes that spread more counting more'}; liking is not among them. Lines of attributes start at the mean of all and are drawn to one length at most.`,
      },
    ],
    tables: [
      table(
        'Where prototypes lie',
        'Prototype',
        ['First', 'Second'],
        prototypes.map(({ prototype, x, y }) =>
          row(marked(prototype).prototype, [decimals(x), decimals(y)], { mark: marked(prototype) }),
        ),
      ),
      table(
        'How attributes go with the two',
        'Attribute',
        ['First', 'Second'],
        attributes.map(({ scale, x, y }) => row(scaleIn(plan, scale).name, [decimals(x), decimals(y)])),
      ),
    ],
    folded: true,
  });
}

function likingSection(map: ProfileMap, whose: string, plan: Plan): RatedSection[] {
  const { liking } = map;
  const svg = likingChart(map, plan);
  if (!liking || !svg) return [];
  const marked = markedIn(plan);
  const count = liking.listeners.length;
  const alike =
    liking.alike === 0
      ? ''
      : ` ${listeners(liking.alike)} liked all alike and ${liking.alike === 1 ? 'has' : 'have'} no line.`;
  return [
    section({
      id: `liking-map-${map.audience}`,
      heading: `Who likes what, on the map${whose}`,
      sentences: [
        `The map explains ${percent(liking.meanRSquared)} of the liking of ${listeners(count)} on average, where ${percent(liking.expected)} would be explained if liking had nothing to do with it (p\u00a0${pWords(liking.p)}: how often prototypes dealt out over the map anew are explained as well${liking.exact ? '' : ', in random deals'}).${alike} ${exploresOnly}`,
      ],
      charts: [
        {
          svg,
          caption:
            'The same map, with a thin line for each listener toward where his or her liking grows (each listener’s liking regressed on the two components); the longer, the better it fits. Lines that go apart may be tastes that go apart, or chance: liking that has nothing to do with the map has a line as well, and of five prototypes one that seems to fit. Whoever likes a middle best has no such direction.',
        },
      ],
      tables: [
        table(
          'For how many listeners a prototype lies where their liking is above their own mean',
          'Prototype',
          ['Listeners', `Of ${count}`],
          liking.above.map(({ prototype, listeners: above }) =>
            row(marked(prototype).prototype, [String(above), percent(above / Math.max(1, count))], {
              mark: marked(prototype),
            }),
          ),
        ),
      ],
      folded: true,
    }),
  ];
}
