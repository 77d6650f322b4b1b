import { methodOf } from '../../protocols/index';
import type { Findings } from '../../shared/findings';
import { type Aim, codesLast, handsOver, type Plan, plays } from '../../shared/plan';
import { levelTolerances } from '../audio/level-tolerance';
import { instructionsOf } from '../instructions';
import { unitsMustMatch } from '../level-problems';
import { toolVersion } from '../root';
import { utcMinute } from '../time-words';
import { methodRows } from './letter-parts';
import type { MethodPart } from './view-models';

/**
 * How a study was done, under the headings that reports of listening tests and sensory tests are asked for: ITU-R BS.1284
 * (contents of a test report), ISO 4120 (test report) and CONSORT 2010 (items 3 to 12), all from memory. Every heading is
 * there: what nobody recorded is said to be so, since a reader can't tell what was forgotten from what was left out.
 */
export function methodParts(found: Findings, plan: Plan): MethodPart[] {
  const rows = methodRows(found, plan);
  const under = (part: Part): Row[] =>
    rows.filter(({ label }) => partOf(label) === part).map(({ label, value }) => ({ label, lines: [value] }));
  const parts: [heading: string, rows: Row[]][] = [
    ['What was asked', [said('Aim', aimWords[plan.aim]), ...under('asked')]],
    [
      'What was compared',
      [...under('compared'), said('Codes', codeWords(plan)), said('Order of samples', orderWords(found, plan))],
    ],
    ['Who listened', listenerRows(found, plan, under('listeners'))],
    ['What they read', instructionsOf(plan).map(({ head, lines }) => ({ label: head, lines }))],
    ['Sound, levels and place', soundAndPlace(found, plan, under('sound'))],
    ['When', [...whenRows(found), ...under('when')]],
    [
      'Who could know what',
      [
        said('Blinding', blindWords(found)),
        ...under('blind'),
        said('Who did what', 'Under “Was it blind?”, with every look at the key'),
      ],
    ],
    ['What came otherwise than planned', deviationRows(found)],
    ['What decided', [...under('decided'), ...statisticsRows(found, plan)]],
    ['With what', [...programRows(found), ...under('with')]],
  ];
  return parts.map(([heading, own]) => ({
    heading,
    rows: own.map(({ label, lines }) => ({
      label,
      lines: lines.length === 0 ? [notRecorded] : lines,
      missing: lines.length === 0,
    })),
  }));
}

export const notRecorded = 'Not recorded';

interface Row {
  label: string;
  /** None: nobody recorded it. */
  lines: string[];
}

const said = (label: string, ...lines: string[]): Row => ({ label, lines });
const missing = (label: string, why = ''): Row => ({ label, lines: why === '' ? [] : [`${notRecorded}. ${why}`] });

type Part = 'asked' | 'compared' | 'listeners' | 'sound' | 'when' | 'blind' | 'decided' | 'with';

/** Where a row of the plan belongs; by its first words where a label counts something. */
const places: [Part, RegExp][] = [
  [
    'compared',
    /^(Prototype \d+|Units heard|Handling|Excerpts?|Programme|Reference|In one ranking|Stands first|Learnt first)$/,
  ],
  ['listeners', /^(Panel|Screening of listeners|Check-in|Tips)$/],
  [
    'sound',
    /^(Matched.*|Trims in dB|Measured levels|Levels of units|Beginning together|Heard at least|Interrupted sound|Sound interrupted|Wireless in-ears|Listened with|Output of the phones|Level at the ear|Time of sound|Signed deviation)$/,
  ],
  ['when', /^(Sittings|A missed session|The verdict counts)$/],
  ['blind', /^(Looks|Closing question)$/],
  [
    'decided',
    /^(Primary comparison|All audiences together|Risks|Decided by|Other comparisons|Over sessions|Left out by rule|Power)$/,
  ],
  ['with', /^(Hash of the plan.*|Commitment to the draw.*)$/],
];

export const partOf = (label: string): Part => places.find(([, labels]) => labels.test(label))?.[0] ?? 'asked';

const aimWords: Record<Aim, string> = {
  difference: 'Whether a difference can be heard',
  similarity: 'Whether two are alike enough for the purpose',
  preference: 'Which is preferred',
  profile: 'How they differ, scale by scale',
};

function codeWords(plan: Plan): string {
  const each = 'Three digits, drawn at random, none of them turnable or easily mistaken';
  return codesLast(plan)
    ? `${each}; on the carrier, never on the unit. A carrier keeps its code for one session`
    : `${each}; new for every listener and session${handsOver(plan) ? ', on the carrier and never on the unit' : ''}`;
}

/** The way to a proof stands beside, since no sentence of ours is one. */
function orderWords({ held, imported }: Findings, plan: Plan): string {
  if (imported) return `${notRecorded}: the answers were gathered elsewhere, and nothing says how orders were drawn`;
  const balanced =
    methodOf(plan).form.presentations > 1
      ? 'places within trials and trials within sittings'
      : 'the order of samples within sittings';
  return `Drawn before anybody sat (${balanced}, balanced over listeners), from a secret seed by HMAC-DRBG (NIST SP 800-90A). The seed was committed to when the plan was locked${held ? `, ${utcMinute(held.lockedAt)}` : ''}, and is published in the record, by which the draw can be done again`;
}

function listenerRows(found: Findings, plan: Plan, rows: Row[]): Row[] {
  const { held, flow } = found;
  const { practicePresentations } = methodOf(plan).protocol;
  const consent = held?.consent ?? [];
  return [
    ...rows.filter(({ label }) => label === 'Panel'),
    said(
      'Came',
      `${flow.listeners.joined} joined, ${flow.listeners.seated} took a seat, ${flow.listeners.analysed} are analysed. Known by an alias; named here by audience and order`,
    ),
    missing('How they were chosen'),
    missing('Age, hearing, experience', 'Nobody’s hearing was tested: this is not a hearing test.'),
    ...(rows.some(({ label }) => label === 'Screening of listeners') ? [] : [said('Screening of listeners', 'None')]),
    said(
      'Training',
      practicePresentations(methodOf(plan).spec) === 0
        ? 'The scales were tried out first; nothing else is recorded'
        : 'A practice trial begins each sitting, and is never analysed; nothing else is recorded',
    ),
    ...rows.filter(({ label }) => label !== 'Panel'),
    consent.length === 0
      ? missing('What they agreed to')
      : said(
          'What they agreed to',
          consent
            .map(({ version, times }) => `Text of version ${version}, ${times === 1 ? 'once' : `${times} times`}`)
            .join(' · '),
        ),
  ];
}

function soundAndPlace({ sound }: Findings, plan: Plan, rows: Row[]): Row[] {
  const { file, coupler } = levelTolerances;
  const tolerance = ({ passes, warns }: { passes: number; warns: number }) =>
    `within ${passes}\u00a0dB passes, up to ${warns}\u00a0dB is reported, beyond takes a signed deviation`;
  const tolerances = [
    ...(plays(plan) ? [`Files: ${tolerance(file)}`] : []),
    ...(unitsMustMatch(plan) ? [`Units in a coupler: ${tolerance(coupler)}`] : []),
  ];
  const any = (...labels: string[]) => rows.some(({ label }) => labels.includes(label));
  return [
    ...rows,
    ...(tolerances.length > 0 ? [said('Tolerances', tolerances.join('. '))] : []),
    ...(any('Measured levels') || !handsOver(plan) || plan.playback === 'none' ? [] : [missing('Measured levels')]),
    ...(any('Level at the ear') || plan.playback === 'none' ? [] : [missing('Level at the ear')]),
    ...(any('Listened with') ? [] : [missing('Devices and outputs')]),
    ...(plays(plan) && sound
      ? [missing('Make of the devices', 'Of each listener’s device only what stands above.')]
      : []),
    missing('Room and noise in it'),
    missing('Temperature and humidity'),
  ];
}

function whenRows({ held }: Findings): Row[] {
  if (!held) return [missing('Sessions')];
  const { sessions, lockedAt, closedAt, unsealedAt } = held;
  return [
    said('Plan locked', utcMinute(lockedAt)),
    said(
      sessions.length === 1 ? 'Session' : 'Sessions',
      ...sessions.map(
        ({ number, openedAt, closedAt: ended, sittings }) =>
          `${number}: ${utcMinute(openedAt)} to ${ended === null ? 'the closing of the study' : utcMinute(ended)}, ${sittings === 1 ? '1 sitting' : `${sittings} sittings`}`,
      ),
    ),
    closedAt === null ? missing('Closed') : said('Closed', utcMinute(closedAt)),
    said('Unsealed', utcMinute(unsealedAt)),
  ];
}

const blindWords = ({ blind }: Findings): string => [blind.label, ...blind.notes].join('. ').replaceAll('..', '.');

function deviationRows({ amendments, incidents, sound, exclusions, blind, flow }: Findings): Row[] {
  const afterwards = exclusions.list.filter(({ decided }) => decided === 'afterwards').length;
  const signed = sound?.deviations.length ?? 0;
  const unplanned = blind.keyEvents.filter(({ planned }) => !planned).reduce((sum, { times }) => sum + times, 0);
  const counted = (count: number, where: string): string => (count === 0 ? 'None' : `${count}, ${where}`);
  return [
    said('Amendments to the plan', counted(amendments.length, 'under “The plan, and what was changed”')),
    said('Signed deviations of levels', counted(signed, 'above under sound and levels')),
    said('Looks at the key not planned', counted(unplanned, 'under “Was it blind?”')),
    said('Left out with the verdict in sight', counted(afterwards, 'under “What was left out”')),
    said('Trials voided', counted(flow.trials.void, 'by reason under “Who came, and what was lost”')),
    said('Incidents noted', counted(incidents.length, 'under “Incidents”')),
  ];
}

function statisticsRows({ results, pooled }: Findings, plan: Plan): Row[] {
  const decided = [
    ...new Set([...results, ...(pooled?.result ? [pooled.result] : [])].map(({ decidedBy }) => decidedBy)),
  ];
  const levels = [...new Set(results.flatMap(({ estimate }) => (estimate ? [estimate.level] : [])))];
  const questions = results.length + (plan.pooling && results.length > 1 ? 1 : 0);
  return [
    ...(decided.length > 0 ? [said('As it was computed', ...decided)] : []),
    said(
      'Correction',
      questions === 1
        ? 'One audience and one primary comparison: nothing to correct for in the verdict'
        : `Holm over ${questions} verdicts (${plan.looks.kind === 'fixed' ? 'p' : 'α'}), so that any false one has the chance α`,
    ),
    levels.length === 0
      ? said('Intervals', 'None could be computed')
      : said('Intervals', `At ${levels.map((level) => `${Number((level * 100).toFixed(2))}\u00a0%`).join(' and ')}`),
    said('What explores', 'Says so where it stands, carries no verdict word, and decides nothing'),
  ];
}

function programRows({ held, computedFrom }: Findings): Row[] {
  return [
    said('Program', `Fair Hearing, version ${toolVersion}, for this report`),
    held?.lockedBy ? said('Plan locked by', `Version ${held.lockedBy}`) : missing('Plan locked by'),
    said('Computed from the record up to', computedFrom),
  ];
}
