import type { HeardBeside, MeasuredResponses } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, minus } from '../../number-words';
import { pWords } from '../figures';
import { intervalChart } from '../interval-chart';
import { listed } from '../listed';
import { markedIn } from '../marked';
import { nameIn, placeIn } from '../plan-names';
import { row, section, table } from '../rating/section';
import { scaleIn } from '../shown-scale';
import type { RatedSection, RatedTable } from '../view-models';
import { heardWords } from './heard-words';
import { hertz, responseChart } from './response-chart';

export const exploresOnly = 'This explores and decides nothing.';

const tenths = (value: number): string => minus(value.toFixed(1));

/** A picture of how they were heard stands beside that of what was measured, if it has no more rows than these. */
const fewRows = 8;

/** Third-octave differences beside how prototypes were heard; and folded away what else there is in figures. */
export function responsesSections(found: MeasuredResponses, plan: Plan): RatedSection[] {
  const { heard } = found;
  const level = heard[0]?.difference.level ?? 0.95;
  const few = heard.length <= fewRows;
  const heardPart = {
    charts: heardCharts(found, plan),
    tables: heard.length > 0 ? [heardTable(found, level, plan)] : [],
  };
  const folded = (id: string, heading: string, what: string, part: Partial<RatedSection>) =>
    section({ id, heading, sentences: [`${what} ${exploresOnly}`], ...part, folded: true });
  return [
    besideSection(found, few ? heardPart : { charts: [], tables: [] }, plan),
    ...(few
      ? []
      : [
          folded(
            'measured-heard-all',
            'Heard, scale by scale',
            'How each was heard beside the same prototype.',
            heardPart,
          ),
        ]),
    folded('measured-bands', 'Measured, band by band', 'What the picture of measured levels is drawn from.', {
      tables: [bandTable(found, plan)],
    }),
  ];
}

function besideSection(
  found: MeasuredResponses,
  heard: Pick<RatedSection, 'charts' | 'tables'>,
  plan: Plan,
): RatedSection {
  const { baseline, prototypes, correlations } = found;
  const name = nameIn(plan);
  return section({
    id: 'measured-heard',
    heading: 'Measured against heard',
    sentences: [
      ...prototypes.filter(({ prototype }) => prototype !== baseline).map((one) => besideWords(one, found, plan)),
      `${exploresOnly} That two things go together says of neither that it makes the other: prototypes differ in more than their response.`,
    ],
    key: prototypes.map(({ prototype }) => markedIn(plan)(prototype)),
    charts: [
      {
        svg: responseChart(found, plan),
        caption: `Measured level in third-octave bands (IEC 61260-1) less that of ${name(baseline)}, each prototype’s level taken from the mean of its bands from 500 to 2000 Hz; mean over ears and over the units that were measured.`,
      },
      ...heard.charts,
    ],
    tables: [...heard.tables, ...(correlations ? [correlationTable(correlations, plan)] : [])],
    note: noteOf(found, plan),
  });
}

/** "Alder measures 3.1 dB more than Birch at 63 to 160 Hz; it was rated …" */
function besideWords(
  { prototype, stretches }: MeasuredResponses['prototypes'][number],
  { baseline, heard }: MeasuredResponses,
  plan: Plan,
): string {
  const name = nameIn(plan);
  const parts = stretches.map(
    ({ from, to, difference }) =>
      `${tenths(Math.abs(difference))}\u00a0dB ${difference < 0 ? 'less' : 'more'} at ${stretchWords(from, to)}`,
  );
  const measured =
    parts.length === 0
      ? `${name(prototype)} measures within 1\u00a0dB of ${name(baseline)} in every band`
      : `${name(prototype)} measures ${listed(parts)} than ${name(baseline)}`;
  const said = plan.audiences.flatMap((audience) => {
    const own = heard.filter((one) => one.prototype === prototype && one.audience === audience.id);
    const clearest = clearestOf(own, plan);
    if (!clearest) return [];
    // Whoever picks the clearest of several finds something oftener than an interval says.
    const picked =
      own.length > 1
        ? `, the clearest of ${own.length} ${own.every(({ measure }) => measure === 'ticked') ? 'words' : 'scales'}`
        : '';
    const words = isClear(clearest)
      ? `it ${heardWords(clearest, name(baseline), plan).sentence}${picked}`
      : 'nothing in how it was heard lies clear of no difference';
    return [plan.audiences.length > 1 ? `${audience.name}: ${words}` : words];
  });
  return said.length === 0 ? `${measured}.` : `${measured}; ${said.join('; ')}.`;
}

/** "63 to 160 Hz", "630 Hz to 2.5 kHz", "3.15 to 20 kHz". */
function stretchWords(from: number, to: number): string {
  const unit = (band: number) => (band < 1000 ? '\u00a0Hz' : '\u00a0kHz');
  const value = (band: number) => String(band < 1000 ? band : band / 1000);
  if (from === to) return value(to) + unit(to);
  return `${value(from)}${unit(from) === unit(to) ? '' : unit(from)} to ${value(to)}${unit(to)}`;
}

const nothingAt = ({ measure }: HeardBeside): number => (measure === 'preferred' || measure === 'before' ? 0.5 : 0);

/** No difference lies outside of its interval. */
const isClear = (one: HeardBeside): boolean =>
  one.difference.lower > nothingAt(one) || one.difference.upper < nothingAt(one);

/** Of several scales the one on which the two lie farthest apart for how wide its interval is; the verdict's among equals. */
function clearestOf(own: readonly HeardBeside[], { primary }: Plan): HeardBeside | undefined {
  const clear = (one: HeardBeside) => {
    const { value, lower, upper } = one.difference;
    return upper > lower ? Math.abs(value - nothingAt(one)) / (upper - lower) : 0;
  };
  return own.toSorted(
    (a, b) => clear(b) - clear(a) || Number(b.scale === primary.scale) - Number(a.scale === primary.scale),
  )[0];
}

/** More rows are a table and no picture. */
const mostRows = 24;

/** How they were heard, a picture an audience; of ratings only, whose differences share an axis. */
function heardCharts({ heard, baseline }: MeasuredResponses, plan: Plan): RatedSection['charts'] {
  const [name, placeOf] = [nameIn(plan), placeIn(plan)];
  return plan.audiences.flatMap((audience) => {
    const rows = heard
      .filter((one) => one.audience === audience.id && one.measure === 'points')
      .map(({ prototype, scale, difference: { value, lower, upper } }) => ({
        name: `${scaleIn(plan, scale ?? '').name}: ${name(prototype)}`,
        ...{ value, lower, upper, place: placeOf(prototype) },
      }));
    const level = heard[0]?.difference.level ?? 0.95;
    if (rows.length === 0 || rows.length > mostRows) return [];
    const whose = plan.audiences.length > 1 ? `${audience.name}: ` : '';
    return [
      {
        svg: intervalChart(rows, {
          label: `${whose ? `${whose}rated` : 'Rated'} less ${name(baseline)}, in points`,
          short: 'Points',
          mark: { at: 0, words: `as ${name(baseline)}` },
        }),
        caption: `${whose}${whose ? 'm' : 'M'}ean ratings less those of ${name(baseline)}, with ${chosenPercent(level)} intervals; above 0 is nearer to the high end of the scale.`,
      },
    ];
  });
}

function bandTable({ baseline, bands, prototypes }: MeasuredResponses, plan: Plan): RatedTable {
  const name = nameIn(plan);
  const others = prototypes.filter(({ prototype }) => prototype !== baseline);
  return table(
    `Measured level less that of ${name(baseline)}, in dB`,
    'Band, Hz',
    others.map(({ prototype }) => name(prototype)),
    bands.map((band, i) =>
      row(
        hertz(band),
        others.map(({ less }) => tenths(less[i] ?? 0)),
      ),
    ),
  );
}

function heardTable({ baseline, heard }: MeasuredResponses, level: number, plan: Plan): RatedTable {
  const name = nameIn(plan);
  const marked = markedIn(plan);
  return {
    caption: `How they were heard beside ${name(baseline)}`,
    of: 'Prototype',
    columns: ['Of what', 'Value', `${chosenPercent(level)} interval`],
    groups: plan.audiences.flatMap((audience) => {
      const own = heard.filter((one) => one.audience === audience.id);
      if (own.length === 0) return [];
      return [
        {
          heading: plan.audiences.length > 1 ? audience.name : null,
          rows: own.map((one) => {
            const { of, value, interval } = heardWords(one, name(baseline), plan);
            return row(name(one.prototype), [of, value, interval], { mark: marked(one.prototype) });
          }),
        },
      ];
    }),
  };
}

function correlationTable({ found }: NonNullable<MeasuredResponses['correlations']>, plan: Plan): RatedTable {
  const several = plan.audiences.length > 1;
  const audience = (id: string) => plan.audiences.find((one) => one.id === id)?.name ?? id;
  return table(
    'The band that goes most with each scale, over prototypes',
    'Scale',
    ['Band, Hz', 'Correlation', 'p, of all pairs'],
    found.map((one) =>
      row(`${scaleIn(plan, one.scale).name}${several ? `, ${audience(one.audience)}` : ''}`, [
        hertz(one.band),
        decimals(one.r),
        pWords(one.p),
      ]),
    ),
  );
}

function noteOf({ prototypes, correlations }: MeasuredResponses, plan: Plan): string {
  const name = nameIn(plan);
  const units = prototypes.map(({ prototype, units, of, unitsApart }) => {
    const apart = unitsApart === null ? '' : `, up to ${tenths(unitsApart)}\u00a0dB apart in a band`;
    return `${name(prototype)} ${units} of ${of}${apart}`;
  });
  const looked = correlations
    ? ` ${correlations.pairs} pairs of a band and a scale were looked at, over ${correlations.prototypes} prototypes; among so many some always go together by chance. p says how often any of these pairs goes together as much when ratings are dealt out among prototypes anew (${correlations.exact ? `all ${correlations.deals.toLocaleString('en')} orders` : `${correlations.deals.toLocaleString('en')} times`}).`
    : '';
  return `Units with a response: ${units.join('; ')}.${looked}`;
}
