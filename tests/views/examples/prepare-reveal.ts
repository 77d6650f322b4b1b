import type { RevealPage } from '../../../server/prepare/view-models';
import { frame, problem, study, type ViewExamples } from '../staff/frame';
import { revealPart } from '../staff/reveal';

const page = (more: Partial<RevealPage> = {}): RevealPage => ({
  ...frame('Reveal a code', study('prepare', 'running')),
  reveal: revealPart(),
  notNow: null,
  ...more,
});
const noCode = 'No carrier of session 1 bears the code 471. Read it once more.';
const noListener = 'Choose the listener whom it happened to.';
const understand = 'Say that you understand: from then on this study is single blind.';
const listeners = ['Heron', 'Otter'].map((label, i) => ({ value: `L${i}`, label, chosen: false }));
const at = (path: string, message: string) => ({ ...problem(path, message), field: `reveal-${path}` });

const examples: ViewExamples<RevealPage> = {
  view: 'prepare/reveal',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'wrong',
      model: page({
        problems: [at('code', noCode)],
        reveal: revealPart({}, { code: ['471', noCode], reason: ['A rash behind the left ear', null] }),
      }),
    },
    {
      name: 'day-code',
      model: page({
        problems: [at('listener', noListener), at('understood', understand)],
        reveal: revealPart(
          { listeners, listenerError: noListener, clash: true, clashError: understand },
          { code: ['417', null], reason: ['A rash behind the left ear', null] },
        ),
      }),
    },
    {
      name: 'empty',
      model: page({
        ...frame('Reveal a code', study('prepare', 'unsealed')),
        reveal: null,
        notNow: 'This study is unsealed: what every code was stands in its record.',
      }),
    },
  ],
};
export default examples;
