import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import Handlebars from 'handlebars';
import type { WordKey } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { root } from '../root';
import { checkWire } from './wire-misfit';

/**
 * Renders pages and parts of pages. Templates stand in the `views` folder of their room. What goes to phones and the
 * desk is rendered only if it fits its wire schema.
 */
export interface Views {
  /** A whole page: the view inside its layout (`phone` for the room listen and public help, `staff` for the rest). */
  page(view: string, model: object, layout?: 'staff' | 'phone'): string;
  /** A part by itself, as it travels when a page changes in place. */
  part(view: string, model: object): string;
}

const rooms = [
  'web',
  'account',
  'roles',
  'plan',
  'prepare',
  'run',
  'listen',
  'review',
  'quick',
  'dry-run',
  'import',
] as const;

/** Every template under server/<room>/views, named `<room>/<path without .hbs>`. */
function templateFiles(): Map<string, string> {
  const found = new Map<string, string>();
  for (const room of rooms) {
    const base = join(root, 'server', room, 'views');
    if (!existsSync(base)) continue;
    for (const entry of readdirSync(base, { recursive: true, encoding: 'utf8' })) {
      const file = join(base, entry);
      if (entry.endsWith('.hbs') && statSync(file).isFile()) {
        const name = `${room}/${relative(base, file).replaceAll('\\', '/').slice(0, -4)}`;
        found.set(name, readFileSync(file, 'utf8'));
      }
    }
  }
  return found;
}

let made: Views | null = null;

/** Read and compiled once a process: they hold no state, so any number of servers can render with the same. */
export function createViews(): Views {
  made ??= makeViews();
  return made;
}

function makeViews(): Views {
  const handlebars = Handlebars.create();
  handlebars.registerHelper('eq', (a: unknown, b: unknown) => a === b);
  handlebars.registerHelper('not', (a: unknown) => !a);
  handlebars.registerHelper('and', (a: unknown, b: unknown) => Boolean(a) && Boolean(b));
  handlebars.registerHelper('or', (...some: unknown[]) => some.slice(0, -1).some(Boolean));
  handlebars.registerHelper('plus', (a: number, b: number) => a + b);
  handlebars.registerHelper('joined', (...parts: unknown[]) => parts.slice(0, -1).join(''));
  // A code is read digit by digit, on paper and aloud.
  handlebars.registerHelper('spaced', (code: string) => [...code].join('\u2009'));

  // {{word 'join.go'}}, with values for its places: {{word 'waiting.seat' seat=seat}}.
  handlebars.registerHelper('word', (key: string, options: Handlebars.HelperOptions) =>
    say(key as WordKey, options.hash),
  );

  const compiled = new Map<string, Handlebars.TemplateDelegate>();
  for (const [name, source] of templateFiles()) {
    // Strict: a field that a view model lacks is an error in a test, not an empty place on a page.
    compiled.set(name, handlebars.compile(source, { strict: true, preventIndent: true }));
    handlebars.registerPartial(name, source);
  }
  const render = (view: string, model: object): string => {
    const template = compiled.get(view);
    if (!template) throw new Error(`There is no view ${view}.`);
    return template(model);
  };
  const checked = (view: string, model: object): string => {
    checkWire(view, model);
    return render(view, model);
  };
  return {
    part: checked,
    page(view, model, layout) {
      const chosen = layout ?? (view.startsWith('listen/') ? 'phone' : 'staff');
      return render(`web/layout-${chosen}`, { ...model, body: checked(view, model) });
    },
  };
}
