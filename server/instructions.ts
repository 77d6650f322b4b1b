import { type Form, type GradesForm, gradedIn } from '../protocols/form';
import { methodOf } from '../protocols/index';
import { handsOver, type Plan, plays } from '../shared/plan';
import { consentCautions } from '../shared/words/en';
import { say } from '../shared/words/say';
import { toldBeside } from './graded-beside';
import { scaleWords } from './plan-grades-rows';
import { scaleEnds } from './plan-words';

interface Part {
  head: string;
  lines: string[];
}

/**
 * What listeners read of a study, word for word and in its order: standards ask that a report holds the instructions, and
 * a team can read them aloud. Codes stand where a sample is named, so nothing here says which is which.
 */
export function instructionsOf(plan: Plan): Part[] {
  const { form, protocol, spec } = methodOf(plan);
  const rows: Part[] = [
    { head: say('consent.cautions'), lines: [...consentCautions] },
    { head: say('consent.tips'), lines: [say(`tips.${plan.tips}`)] },
    { head: 'Before each sample', lines: before(plan) },
    { head: 'While they listen', lines: listening(plan, form) },
    { head: 'The question', lines: questionOf(form) },
    ...(scalesOf(form).length > 0 ? [{ head: 'Rated on', lines: scalesOf(form) }] : []),
    ...(form.kind === 'grades' && form.attributes.length > 0
      ? [
          {
            head: say('grading.ticks'),
            lines: [
              ...form.attributes.map(({ name, definition }) => (definition ? `${name}: ${definition}` : name)),
              say('grading.none'),
            ],
          },
        ]
      : []),
    {
      head: 'For practice',
      lines: [
        protocol.practicePresentations(spec) === 0 && form.kind === 'scales'
          ? say('rating.practice')
          : say('place.practice'),
        ...(form.kind === 'grades' ? practised(form).map((key) => say(key)) : []),
      ],
    },
    { head: 'At any time', lines: [say('place.pain'), say('stop.text')] },
    { head: 'In the end', lines: [say('finished.text'), say('finished.ears')] },
  ];
  return rows;
}

/** What stands on no other trial. */
const practised = (form: GradesForm) =>
  toldBeside(form, true).filter((key) => !(toldBeside(form, false) as string[]).includes(key));

function before(plan: Plan): string[] {
  const { form } = methodOf(plan);
  const rest =
    form.kind !== 'scales'
      ? []
      : form.impression.reset.item === undefined
        ? [say('resetting.silence', { seconds: form.impression.reset.seconds })]
        : [say('resetting.neutral', { seconds: form.impression.reset.seconds, item: form.impression.reset.item })];
  const fit = handsOver(plan)
    ? [
        say('fitting.sides'),
        say(form.kind === 'scales' || plan.playback === 'none' ? 'fitting.seal.quiet' : 'fitting.seal'),
        say('fitting.level.first'),
        say('fitting.level'),
      ]
    : [];
  const check = plays(plan) ? [say('sound-check.level'), say('sound-check.care')] : [];
  return [...rest, ...fit, ...check];
}

function listening({ playback }: Plan, form: Form): string[] {
  if (form.kind === 'scales') {
    const { windowSeconds: seconds } = form.impression;
    if (playback === 'renders') return [say('starting.tap.player'), say('starting.once.renders', { seconds })];
    if (playback === 'seat-player') return [say('starting.tap.player'), say('starting.once.player', { seconds })];
    return [say(playback === 'none' ? 'starting.tap.none' : 'starting.tap'), say('starting.once', { seconds })];
  }
  const several = form.presentations > 1;
  if (form.kind === 'grades') {
    if (playback === 'renders') {
      const beside = toldBeside(form, false).map((key) => say(key));
      return [say(several ? 'grading.together' : 'grading.listen'), ...beside];
    }
    const again = gradedIn(form, form.presentations).length > 1 ? [say('grading.again')] : [];
    return [say(`listening.${playback}`), say('grading.listen'), ...again];
  }
  return [playback === 'renders' ? say('comparing.lead') : say(`listening.${playback}`), say('listening.time')];
}

function questionOf(form: Form): string[] {
  const question = say(form.question);
  switch (form.kind) {
    case 'pick-one':
      return [form.attribute === undefined ? question : `${question} ${form.attribute}`];
    case 'yes-no':
      return [question, say(form.yes), say(form.no)];
    case 'scales':
      return [question, ...(form.words ? [say('words.struck')] : [])];
    default:
      return [question];
  }
}

function scalesOf(form: Form): string[] {
  if (form.kind === 'scales') return form.scales.map((scale) => `${scale.name}: ${scaleEnds(scale)}`);
  return form.kind === 'grades' ? form.scales.map(scaleWords) : [];
}

/** As plain text, to be read aloud or put into a report. */
export function instructionsText(plan: Plan): string {
  const parts = instructionsOf(plan).map(
    ({ head, lines }) => `${head}\n${lines.map((line) => `  ${line}`).join('\n')}`,
  );
  return `What listeners read\n\n${parts.join('\n\n')}\n`;
}
