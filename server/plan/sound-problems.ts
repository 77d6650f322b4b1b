import { handsOver, levelsCount, type Plan, planLimits, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

/** What in a plan doesn't go with where its programme comes from, or is missing for it. */
export function soundProblems(plan: Plan): Problem[] {
  return [
    ...handlingProblems(plan),
    ...unitProblems(plan),
    ...excerptProblems(plan),
    ...ruleProblems(plan),
    ...bandProblems(plan),
    ...levelProblems(plan),
    ...timingProblems(plan),
  ];
}

const foreign = (path: string, message: string, allowed?: string, got?: string): Problem => ({
  code: 'not-this-playback',
  path,
  message,
  ...(allowed === undefined ? {} : { allowed }),
  ...(got === undefined ? {} : { got }),
});

/** Renders are nobody's to load and hand over; and nothing else can be left to the server alone. */
function handlingProblems(plan: Plan): Problem[] {
  const { handling, playback, tips } = plan;
  const handed = handsOver(plan);
  if (!handed && handling !== 'server') {
    const message =
      'Renders are played by the server, and nothing is handed over. Take the handling “server”, or another place where the programme comes from.';
    return [foreign('handling', message, 'server', handling)];
  }
  if (handed && handling === 'server') {
    const message =
      'The server alone can play renders, but hand over nothing. Choose who loads and who hands over, or let the page play renders.';
    return [foreign('playback', message, 'renders', playback)];
  }
  if (!handed && tips === 'tip-is-prototype') {
    const message =
      'Renders are all heard through one pair of in-ears, so no tip can belong to a prototype. Take own tips, or cleaned ones.';
    return [foreign('tips', message, 'own-tips, cleaned-tips', tips)];
  }
  return [];
}

const unitProblems = (plan: Plan): Problem[] =>
  plan.prototypes.flatMap(({ name, units }, i): Problem[] => {
    const path = `prototypes.${i}.units`;
    if (handsOver(plan) && units.length === 0) {
      const message = `${name} has no unit, and one is handed over. Add a unit, or let the page play renders.`;
      return [{ code: 'too-few', path, message, allowed: 'at least 1 unit', got: '0' }];
    }
    if (handsOver(plan) || units.length === 0) return [];
    const message = `${name} has units, but renders are played and nothing is handed over. Take the units out.`;
    return [foreign(path, message, 'no units', String(units.length))];
  });

function excerptProblems(plan: Plan): Problem[] {
  const { excerpts } = plan;
  if (plays(plan) && excerpts.length === 0) {
    const message =
      'There is no excerpt yet. Add at least one piece of programme, which the listener’s page will play.';
    return [{ code: 'missing', path: 'excerpts', message, allowed: 'at least 1 excerpt' }];
  }
  if (plays(plan) || excerpts.length === 0) return [];
  const message =
    'Excerpts are played by the listener’s page, and here it plays nothing. Take them out, or let the page play.';
  return [foreign('excerpts', message, 'none', String(excerpts.length))];
}

function ruleProblems(plan: Plan): Problem[] {
  if (plays(plan) === (plan.sound !== undefined)) return [];
  if (!plays(plan)) {
    const message =
      'There are rules for sound that the listener’s page plays, and it plays none. Take them out, or let the page play.';
    return [foreign('sound', message, 'nothing')];
  }
  const message =
    'How sound is matched and played is missing. Say what levels are matched by, and the rules beside it.';
  return [{ code: 'missing', path: 'sound', message }];
}

/** A band of less than a third of an octave holds a tone or two, and no loudness of music. */
function bandProblems({ sound }: Plan): Problem[] {
  if (sound?.match.kind !== 'band') return [];
  const { low, high } = sound.match;
  if (high / low >= planLimits.bandRatio) return [];
  const path = 'sound.match.high';
  const got = String(high);
  const least = Math.ceil(low * planLimits.bandRatio);
  if (least > planLimits.band.max) {
    const most = Math.floor(planLimits.band.max / planLimits.bandRatio);
    const message = `The band must be a third of an octave wide at least, and above ${low} Hz there is no room for it. Begin at ${most} Hz or lower.`;
    return [{ code: 'too-small', path: 'sound.match.low', message, allowed: `at most ${most}`, got: String(low) }];
  }
  const message = `The band must be a third of an octave wide at least: from ${low} Hz to ${least} Hz or more.`;
  return [{ code: 'too-small', path, message, allowed: `at least ${least}`, got }];
}

function levelProblems(plan: Plan): Problem[] {
  if (plan.levels === undefined || levelsCount(plan)) return [];
  const message = 'Measured levels count only where units are handed over and programme is heard. Take the days out.';
  return [foreign('levels.staleDays', message, 'nothing', String(plan.levels.staleDays))];
}

const steps = { swap: 'The seconds of swapping', fit: 'The seconds for fit and seal' };

const timingProblems = (plan: Plan): Problem[] =>
  (['swap', 'fit'] as const).flatMap((step): Problem[] => {
    const path = `timing.${step}`;
    const seconds = plan.timing[step];
    const got = String(seconds);
    if (!handsOver(plan)) {
      if (seconds === 0) return [];
      return [foreign(path, `${steps[step]} must be 0: of renders nothing is swapped or fitted anew.`, '0', got)];
    }
    if (seconds >= planLimits.step) return [];
    const allowed = `at least ${planLimits.step}`;
    return [{ code: 'too-small', path, message: `${steps[step]} must be ${allowed}; ${got} came.`, allowed, got }];
  });
