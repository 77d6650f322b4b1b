import type { Findings } from '../../../shared/findings';
import type { SoundFindings } from '../../../shared/findings-sound';
import { type Plan, plays } from '../../../shared/plan';
import { decimals } from '../../number-words';
import { utcMinute } from '../../time-words';

/** Levels, matching and what was played, in the words of the letter. */

type Found = Pick<Findings, 'sound' | 'flow'>;
type Row = { label: string; value: string };
type Excerpt = NonNullable<SoundFindings['matched']>['excerpts'][number];

/** What belongs on the first page: all that could have told samples apart otherwise than by what they are. */
export function soundCautions({ sound, flow }: Found, plan: Plan): string[] {
  if (!sound) return [];
  const { matched, deviations, interruptions, connections } = sound;
  return [
    ...deviations.map(
      ({ by, reason, of }) => `Levels were not as they must be, and ${by} signed for it: ${ofWords(of)}. “${reason}”`,
    ),
    ...(plays(plan) && matched === null ? ['Nothing was matched: louder may have been taken for better.'] : []),
    // Whoever matched has read them; whoever reads only this has not.
    ...(matched?.warnings ?? []).map((words) => `Said when the sound was matched: ${words}`),
    ...excerptCautions(matched?.excerpts ?? []),
    ...movedCautions(matched?.moved ?? []),
    ...(interruptions.trials > 0
      ? [
          `The sound was interrupted in ${interruptions.trials} of ${flow.trials.planned + flow.trials.again} trials; ${becameWords(interruptions)}.`,
        ]
      : []),
    ...connectionCautions(connections),
  ];
}

function becameWords({ trials, void: spoilt }: SoundFindings['interruptions']): string {
  if (spoilt === 0) return 'their answers are marked';
  if (spoilt === trials) return 'they are void and were put again';
  return `${spoilt} ${spoilt === 1 ? 'is' : 'are'} void and ${spoilt === 1 ? 'was' : 'were'} put again, and the answers of the others are marked`;
}

function excerptCautions(excerpts: readonly Excerpt[]): string[] {
  const unlike = excerpts.filter(({ files, judged }) => files > 1 && judged !== 'passes');
  const apart = excerpts.filter(({ lag }) => lag !== null && lag > 1);
  const named = (some: readonly Excerpt[]) => some.map(({ name }) => name).join(', ');
  const most = (values: number[]) => Math.max(...values);
  return [
    ...(unlike.length > 0
      ? [
          `${named(unlike)}: files still differ by ${unlike.length > 1 ? 'up to ' : ''}${decibels(most(unlike.map(({ after }) => after)))} after matching; louder may have been taken for better.`,
        ]
      : []),
    ...(apart.length > 0
      ? [
          `${named(apart)}: files begin up to ${most(apart.map(({ lag }) => lag ?? 0))} samples apart, and a jump in time can tell them apart.`,
        ]
      : []),
  ];
}

function movedCautions(moved: NonNullable<SoundFindings['matched']>['moved']): string[] {
  if (moved.length === 0) return [];
  const named = moved.map(({ serial, by }) => `${serial} by ${decibels(by, 1)}`).join(', ');
  return [
    `Between sessions the measured level changed, against the mean of all units, of ${named}. What was heard before may not have been matched.`,
  ];
}

function connectionCautions(connections: Record<string, number>): string[] {
  const all = Object.values(connections).reduce((sum, one) => sum + one, 0);
  const over = { wireless: 'a wireless link', speakers: 'loudspeakers' };
  return (['wireless', 'speakers'] as const).flatMap((one) => {
    const count = connections[one] ?? 0;
    if (count === 0) return [];
    return [
      `${count} of ${all} sittings ${count === 1 ? 'was' : 'were'} heard over ${over[one]}, which changes the sound of all samples.`,
    ];
  });
}

/** For “How it was done”. */
export function soundRows({ sound }: Found, plan: Plan): Row[] {
  if (!sound) return [];
  const { matched, levels, deviations, connections, interruptions, rates } = sound;
  const rows: Row[] = [];
  for (const one of matched?.excerpts ?? []) rows.push({ label: `Matched: ${one.name}`, value: matchWords(one) });
  const trims = matched?.units ?? [];
  if (trims.length > 0) rows.push({ label: 'Trims in dB', value: trimWords(trims, plan) });
  if (matched) {
    const times = matched.times === 1 ? '' : `, the last of ${matched.times} times`;
    rows.push({ label: 'Matched on', value: `${utcMinute(matched.at)}${times}` });
  }
  if (levels.length > 0) rows.push({ label: 'Measured levels', value: levelsWords(levels) });
  for (const { at, by, reason, of } of deviations) {
    rows.push({ label: 'Signed deviation', value: `${utcMinute(at)}, ${by}: ${ofWords(of)}. “${reason}”` });
  }
  if (plays(plan)) {
    rows.push({ label: 'Listened with', value: tallyWords(connections, connectionWords) || 'Nobody said' });
    rows.push({ label: 'Sound interrupted', value: interruptionsWords(interruptions) });
    rows.push({ label: 'Output of the phones', value: rateWords(rates) });
  }
  rows.push(...loudnessRows(sound));
  return rows;
}

/** Unknown is said, and is never 0. */
function loudnessRows({ level, sensitive, heard }: SoundFindings): Row[] {
  if (level === null && heard === null) return [];
  const estimate = level
    ? `About ${Math.round(level.laeq)}\u00a0dBA, ±\u00a0${Math.ceil(level.uncertainty)}\u00a0dB, estimated ${level.method === 'coupler' ? 'from a reading in a coupler' : 'from what the makers state'}`
    : 'Unknown: nobody noted what it takes to estimate it';
  const rows = [{ label: 'Level at the ear', value: estimate }];
  if (!heard) return rows;
  const { sittingMinutes, weekMinutes, day, week } = heard;
  const longest = `The longest: ${minutes(sittingMinutes)} in a sitting, ${minutes(weekMinutes)} in seven days`;
  const dose =
    day === null || week === null
      ? '; what that is of an allowance is unknown'
      : `; by that estimate ${allowance(day)} of a day’s allowance (NIOSH) and ${allowance(week)} of a week’s (WHO and ITU-T H.870${sensitive ? ', sensitive ears' : ''})`;
  return [...rows, { label: 'Time of sound', value: `${longest}${dose}` }];
}

const minutes = (value: number): string => (value < 1 ? 'under a minute' : `${Math.round(value)}\u00a0min`);
const allowance = (share: number): string => (share < 0.01 ? 'under 1\u00a0%' : `${Math.round(share * 100)}\u00a0%`);

const decibels = (value: number, digits = 2): string => `${decimals(value, digits)}\u00a0dB`;

function matchWords({ rate, seconds, files, before, after, gain, truePeak, lag }: Excerpt): string {
  const length = `${seconds.toFixed(1)} s at ${rate / 1000} kHz`;
  const peak = `highest true peak ${decimals(truePeak, 1)}\u00a0dBTP`;
  if (files === 1)
    return `${length}, one file for all units${gain < 0 ? `, lowered by ${decibels(-gain)}` : ''}; ${peak}`;
  const together =
    lag === null
      ? 'whether they begin together couldn’t be told'
      : lag === 0
        ? 'beginning together'
        : `beginning ${lag === 1 ? 'within 1 sample' : `up to ${lag} samples apart`}`;
  return `${length}, ${files} files that differed by ${decibels(before)} and now differ by ${decibels(after)}; the loudest lowered by ${decibels(-gain)}; ${peak}; ${together}`;
}

/** "Excerpt A: S-A1 0.00 · S-A2 −0.10", in decibels. */
function trimWords(trims: NonNullable<SoundFindings['matched']>['units'], plan: Plan): string {
  const ofExcerpt = (id: string) =>
    trims
      .filter(({ excerpt }) => excerpt === id)
      .map(({ serial, gain }) => `${serial} ${decimals(gain)}`)
      .join(' · ');
  return plan.excerpts.map(({ id, name }) => `${name}: ${ofExcerpt(id)}`).join('. ');
}

/** What was measured alike is told together: "2026-02-27, coupler, 1 kHz (left and right, in dB): A-1 94.4 and 94.5". */
function levelsWords(levels: SoundFindings['levels']): string {
  const alike = new Map<string, string[]>();
  for (const { serial, on, left, right, device, method, curve, times } of levels) {
    const how = [on, device, method].filter((one) => one !== '').join(', ');
    const more = [...(curve ? ['with its response'] : []), ...(times > 1 ? [`measured ${times} times`] : [])];
    const said = `${serial} ${decimals(left, 1)} and ${decimals(right, 1)}`;
    alike.set(how, [...(alike.get(how) ?? []), more.length === 0 ? said : `${said} (${more.join(', ')})`]);
  }
  return [...alike].map(([how, units]) => `${how} (left and right, in dB): ${units.join(' · ')}`).join('. ');
}

const kindWords: Record<string, string> = {
  missing: 'never measured',
  reworked: 'reworked and not measured since',
  stale: 'measured too long ago',
  beyond: 'louder than the quietest by more than half a decibel',
  balance: 'ears that differ',
  loud: 'louder, or for longer, than may be planned',
};

/** "A-1 and B-2 never measured; C-1 measured too long ago". */
function ofWords(of: SoundFindings['deviations'][number]['of']): string {
  const kinds = new Map<string, string[]>();
  for (const { serial, kind } of of)
    kinds.set(kind, [...(kinds.get(kind) ?? []), ...(serial === null ? [] : [serial])]);
  return [...kinds]
    .map(([kind, serials]) => [serials.join(', '), kindWords[kind] ?? kind].filter((one) => one !== '').join(' '))
    .join('; ');
}

const connectionWords: Record<string, string> = {
  wired: 'wired in-ears',
  wireless: 'a wireless link',
  speakers: 'loudspeakers',
};

const whatWords: Record<string, string> = {
  hidden: 'page out of sight or phone locked',
  suspended: 'a call or the system',
  output: 'another output',
  stalled: 'a clock that stood still',
};

const tallyWords = (counts: Record<string, number>, named: Record<string, string>): string =>
  Object.entries(counts)
    .map(([what, count]) => `${named[what] ?? what}: ${count}`)
    .join(' · ');

function interruptionsWords({ trials, times, by }: SoundFindings['interruptions']): string {
  if (times === 0) return 'Never';
  return `In ${trials === 1 ? '1 trial' : `${trials} trials`}, ${times === 1 ? 'once' : `${times} times`}: ${tallyWords(by, whatWords)}`;
}

function rateWords({ same, other, unknown, outputs }: SoundFindings['rates']): string {
  const answers = (count: number) => (count === 1 ? '1 answer' : `${count} answers`);
  const others = outputs
    .filter(({ file, output }) => file !== output)
    .map(({ file, output, answers: count }) => `${file / 1000} to ${output / 1000} kHz for ${answers(count)}`);
  return (
    [
      ...(same > 0 ? [`At the rate of the file for ${answers(same)}`] : []),
      ...(other > 0 ? [`resampled by the phone, all samples alike: ${others.join(', ')}`] : []),
      ...(unknown > 0 ? [`not told for ${answers(unknown)}`] : []),
    ].join('; ') || 'Nothing was answered'
  );
}
