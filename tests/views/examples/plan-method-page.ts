import { aboutMethod } from '../../../server/plan/method-pages';
import type { MethodPage } from '../../../server/plan/view-models';
import type { MethodId } from '../../../shared/plan';
import { methodWords } from '../../../shared/words/methods';
import { frame, type ViewExamples } from '../staff/frame';

const page = (id: MethodId): MethodPage => ({ ...frame(methodWords[id].name, null), ...aboutMethod(id) });

const examples: ViewExamples<MethodPage> = {
  view: 'plan/method-page',
  layout: 'staff',
  examples: [
    { name: 'triangle', model: page('triangle') },
    { name: 'named', model: page('2-afc') },
    { name: 'without-chance', model: page('same-different') },
    { name: 'ranking', model: page('ranking') },
    { name: 'reference', model: page('reference-and-anchors') },
  ],
};
export default examples;
