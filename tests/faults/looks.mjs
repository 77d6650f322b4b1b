import { fault } from './fault.mjs';

/** In what decides a plan with looks, what is told on the way, and what the letter makes of it. */
export const looks = [
  fault(
    'looks: the last bound that was met decides, not the first',
    'protocols/looks.ts',
    [['const met = path.findIndex(', 'const met = path.findLastIndex(']],
    'protocols/looks',
  ),
  fault(
    'looks: what came after the decision is counted',
    'protocols/looks.ts',
    [['path.slice(0, decidedAt ?? path.length)', 'path.slice()']],
    'protocols/looks',
  ),
  fault(
    'looks: every audience at the whole of α',
    'protocols/looks-ratio.ts',
    [['const alpha = alphaEach(plan);', 'const alpha = plan.risks.alpha;']],
    'protocols/looks',
  ),
  fault(
    'looks: two sides at the whole of α each',
    'protocols/looks-ratio.ts',
    [['alpha: alpha / sides,', 'alpha,']],
    'protocols/looks',
  ),
  fault(
    'looks: strict bounds that are Wald’s own',
    'protocols/looks-ratio.ts',
    [["looks.bounds === 'strict'", "looks.bounds !== 'strict'"]],
    'protocols/looks',
  ),
  fault(
    'looks: a preference counted before all of a listener’s answers are in',
    'protocols/net-preferences.ts',
    [['const short = running ? [] :', 'const short = false ? [] :']],
    'protocols/net-preferences',
  ),
  fault(
    'looks: whoever has answers left stands among those who have none',
    'protocols/net-preferences.ts',
    [
      [
        'const settled = inOrder.filter(({ answers }) => answers >= planned);',
        'const settled = inOrder.filter(({ answers }) => answers >= planned || !running);',
      ],
      ['inOrder.filter(({ answers }) => answers < planned);', 'inOrder.filter(() => false);'],
    ],
    'protocols/net-preferences',
  ),
  fault(
    'looks: outcomes sitting by sitting, not as they came',
    'server/blinding/outcomes.ts',
    [['if (hasLooks(story.plan))', 'if (!hasLooks(story.plan))']],
    'blinding/looks',
  ),
  fault(
    'looks: what listeners of the panel may see',
    'server/review/looks/look.ts',
    [['(await membersWho(tx, study, actor)).length > 0', 'false']],
    'flows/looks',
  ),
  fault(
    'looks: a look that somebody else had is shown',
    'server/review/looks/page.ts',
    [['taken.findLast(({ by }) => by === staff.name)', 'taken.at(-1)']],
    'flows/looks',
  ),
  fault(
    'looks: the check takes what a look showed for granted',
    'server/blinding/check/looks.ts',
    [['canonicalJson(anew) !== canonicalJson(audiences)', 'false']],
    'flows/looks',
  ),
  fault(
    'looks: whoever knows how the answers stand leaves out blind',
    'server/review/not-blind.ts',
    [["['looked']", '[]']],
    'flows/looks',
  ),
];
