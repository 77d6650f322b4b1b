import { flaggedSittings } from '../../../protocols/flagged-sittings';
import { type OverTime, overTime, panelMean } from '../../../protocols/over-time';
import { meanOf } from '../../../protocols/own-ratings';
import type { Outcome } from '../../../protocols/protocol';
import { isVerdictDay } from '../../../protocols/verdict-days';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import type { Material } from '../part-of-findings';

/** What is known of hearings elsewhere; empty where nothing is. */
interface Elsewhere {
  atHome: NonNullable<OverTimeFindings['atHome']>;
  saidElsewhere: NonNullable<OverTimeFindings['saidElsewhere']>;
}

type Noted = NonNullable<OverTimeFindings['noted']>;

/** What time and habit did to the answer that the verdict is about. Undefined where nobody sat twice and nothing is noted. */
export function overTimeOf(of: Material): OverTimeFindings[] | undefined {
  const { plan, results, label } = of;
  const screened = new Set(
    results.flatMap(({ ratings }) => ratings?.screening?.dropped.map(({ listener }) => listener) ?? []),
  );
  // Whom post-screening leaves out is out of the analysis, and stays out here.
  const outcomes = of.outcomes.filter(({ listener }) => !screened.has(listener));
  const noted = notedIn(of);
  const found = overTime(outcomes, plan).flatMap((one): OverTimeFindings[] => {
    const own = noted.flatMap(({ audience, ...rest }) => (audience === one.audience ? [rest] : []));
    const elsewhere = { atHome: atHome(of, one.audience), saidElsewhere: saidElsewhere(of, one.audience) };
    const silent = own.length === 0 && Object.values(elsewhere).every((list) => list.length === 0);
    return one.again === null && silent ? [] : [told(one, own, elsewhere, plan, label)];
  });
  return found.length === 0 ? undefined : found;
}

function told(
  one: OverTime,
  noted: Noted,
  { atHome, saidElsewhere }: Elsewhere,
  plan: Plan,
  label: Material['label'],
): OverTimeFindings {
  const { audience, measure, ways, sittings, again, prototypes, dayToDay } = one;
  return {
    audience,
    ...measure,
    sittings,
    listeners: ways
      .map(({ listener, ...way }) => ({
        listener: label(listener),
        ...way,
        sittings: way.sittings.map(({ sitting, value, heard }) => ({
          sitting,
          value,
          heard,
          ...(plan.verdictDays && { counts: isVerdictDay({ sittingNumber: sitting }, plan) }),
        })),
      }))
      .sort((a, b) => byLabel(a.listener, b.listener)),
    again,
    ...(prototypes.length > 0 && {
      prototypes: prototypes.map(({ rows, ...prototype }) => ({
        ...prototype,
        rows: rows
          .map(({ listener, means }) => ({ listener: label(listener), means }))
          .sort((a, b) => byLabel(a.listener, b.listener))
          .map(({ means }) => means),
      })),
    }),
    dayToDay,
    ...(plan.verdictDays && { days: daysOf(one, plan.verdictDays, plan) }),
    ...(noted.length > 0 && { noted }),
    ...(saidElsewhere.length > 0 && { saidElsewhere }),
    ...(atHome.length > 0 && { atHome }),
  };
}

const byLabel = (a: string, b: string): number => a.localeCompare(b, 'en', { numeric: true });

function daysOf(
  { ways, measure }: OverTime,
  days: NonNullable<Plan['verdictDays']>,
  plan: Plan,
): NonNullable<OverTimeFindings['days']> {
  const mean = (counts: boolean) => {
    const values = ways.flatMap(({ sittings }) => {
      const own = sittings.filter(({ sitting }) => isVerdictDay({ sittingNumber: sitting }, plan) === counts);
      return own.length === 0 ? [] : [meanOf(own.map(({ value }) => value))];
    });
    return values.length === 0 ? null : panelMean(values, measure.of, 1 - plan.risks.alpha);
  };
  return { ...days, counted: mean(true), others: mean(false) };
}

/** By which of these marks answers are looked at apart: those that a rule of the plan leaves out aren't here any more. */
function notedIn({ outcomes, controlled, plan, results, story }: Material): (Noted[number] & { audience: string })[] {
  const home = new Set(heardElsewhere(story).map(({ listener }) => listener));
  const kinds: [Noted[number]['what'], (outcome: Outcome) => boolean][] = [
    ['marked', ({ flags }) => flags.includes('marked')],
    ['outside-listening', ({ flags }) => flags.includes('outside-listening')],
    ['at-home', ({ listener }) => home.has(listener)],
  ];
  return kinds.flatMap(([what, flagged]) =>
    flaggedSittings(outcomes, plan, results, flagged, controlled).map((one) => ({ what, ...one })),
  );
}

/** What the team declared as heard outside of any study. */
const heardElsewhere = ({ declared }: Material['story']) =>
  declared.filter(({ how }) => how === 'open' || how === 'blind');

function atHome({ story, label }: Material, audience: string): NonNullable<OverTimeFindings['atHome']> {
  const members = new Set(
    story.sittings.filter((sitting) => (sitting.audience as string) === audience).map(({ listener }) => listener),
  );
  return heardElsewhere(story)
    .filter(({ listener }) => members.has(listener))
    .map(({ listener, prototype, times, how }) => ({
      listener: label(listener),
      prototype: prototype as string,
      times,
      how: how === 'open' ? ('open' as const) : ('blind' as const),
    }))
    .sort((a, b) => byLabel(a.listener, b.listener));
}

/** By the listeners' own word at check-in. */
function saidElsewhere({ story, label }: Material, audience: string): NonNullable<OverTimeFindings['saidElsewhere']> {
  const own = story.sittings.filter((sitting) => (sitting.audience as string) === audience);
  return [...new Set(own.map(({ listener }) => listener))]
    .map((listener) => {
      const theirs = own.filter((sitting) => sitting.listener === listener);
      return {
        listener: label(listener),
        sittings: theirs.filter(({ outside }) => outside).length,
        of: theirs.length,
      };
    })
    .filter(({ sittings }) => sittings > 0)
    .sort((a, b) => byLabel(a.listener, b.listener));
}
