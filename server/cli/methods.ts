import { protocolOf, protocols } from '../../protocols/index';
import { methodIds } from '../../shared/plan';
import { aimWords, methodWords } from '../../shared/words/methods';
import { expectPositionals } from './arguments';
import type { Command } from './command';

/** `methods`: every method, what it asks, and what guessing gives. */
export const methods: Command = {
  name: 'methods',
  summary: 'Every method: what it asks, what it answers, what guessing gives, its standards',
  usage: '[--json]',
  options: {
    json: {
      type: 'boolean',
      summary: 'One JSON document: [{id, name, family, aims, chance, smallest, standards, looks}]',
    },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, []);
    const ids = methodIds.filter((id) => id in protocols);
    if (options.json === true) {
      const rows = ids.map((id) => {
        const { family, aims, chance, smallest, standards, evidence } = protocolOf(id);
        return {
          id,
          name: methodWords[id].name,
          family,
          aims,
          chance,
          smallest,
          standards,
          looks: evidence !== undefined,
        };
      });
      io.stdout.write(`${JSON.stringify(rows, null, 1)}\n`);
      return 0;
    }
    const width = Math.max(...ids.map((id) => id.length)) + 2;
    for (const id of ids) {
      const { aims, chance, family, standards } = protocolOf(id);
      // To yes and no there are right answers, and how often a guess is right hangs on how readily yes is said.
      const without = family === 'difference' ? 'guessing is right by no fixed chance' : 'no right answers';
      const guessing = chance === null ? without : `guessing is right in 1 of ${Math.round(1 / chance)}`;
      const lines = [
        `${id.padEnd(width)}${methodWords[id].name}`,
        `${' '.repeat(width)}${methodWords[id].asks}`,
        `${' '.repeat(width)}${[...aims.map((aim) => aimWords[aim].asks), guessing, ...standards].join(' · ')}`,
      ];
      io.stdout.write(`${lines.join('\n')}\n`);
    }
    return 0;
  },
};
