import { importsOf, type Violation, withoutComments } from './arrows';
import type { Source } from './sources';

/**
 * What keeps code and identity apart in the sources: only `server/blinding` joins them, and those rooms that make what
 * phones and the desk are shown can't even name what a sample is.
 */

/** The rooms whose pages go to phones and the desk, and what moves and tells them. */
const blindRooms = /^(?:server\/(?:listen|run|live)|client\/(?:phone|desk))\//;
const identities =
  /\b(?:prototypes|units|serials?|PrototypeId|UnitId|PlanPrototype|PlanUnit|planSchema|planOf)\b|\b(?:study|serving)\.plan\b/;

/** All that those rooms may have of blinding: codes come back from it, and nothing else. */
const forBlindRooms: Readonly<Record<string, readonly string[]>> = {
  'server/blinding/canonical-json': ['canonicalJson'],
  'server/blinding/draw': ['NoCodesLeft'],
  'server/blinding/ledger': ['ledgerBodies'],
  'server/blinding/outdated-sheet': ['sheetOutdatedAt'],
  // Sound as bytes; what they hold is for ears to find out.
  'server/blinding/presentation-sound': ['makeSounds', 'TrialSounds'],
  'server/blinding/serving': ['Serving', 'BlindTrial', 'serveSitting', 'serveNext', 'seatsHeldUp'],
};

/**
 * What joins codes with identities, or hands out what does; by module, name and the files outside blinding that may
 * have it. A room that isn't here gets none of it.
 */
const joining: Readonly<Record<string, Readonly<Record<string, readonly string[]>>>> = {
  // After unsealing: throws for a study that is sealed.
  'server/blinding/outcomes': {
    toldTrials: ['server/review/findings', 'server/review/downloads'],
    outcomesOf: ['server/review/findings', 'server/review/products/counted'],
    sentOf: ['server/review/'],
    flagsOf: ['server/review/'],
    asScored: ['server/review/answers-csv'],
    Told: ['server/review/'],
  },
  'server/blinding/unsealing': {
    openKey: ['server/review/commands'],
    PublishedKey: ['server/review/commands'],
    forgetWorkingKey: ['server/review/routes', 'server/quick-steps'],
  },
  'server/blinding/check/check-record': { checkRecord: ['server/cli/check'] },
  'server/blinding/check/line': { CheckLine: ['server/cli/check'] },
  'server/blinding/check/decision': { decisionInvalid: ['server/review/decision-told'] },
  // Before unsealing: how many codes a plan needs, the sheet for the preparer, one code for whoever has to know it.
  'server/blinding/draw': { codesPerSitting: ['server/plan/check'], NoCodesLeft: ['server/live/advance'] },
  'server/blinding/serving': {
    Serving: ['server/command', 'server/run/desk-hands'],
    BlindTrial: ['server/live/advance'],
    serveSitting: ['server/run/seats'],
    serveNext: ['server/live/advance'],
    seatsHeldUp: ['server/run/desk-hands', 'server/run/hand-over'],
    sheetOf: ['server/prepare/routes', 'server/prepare/commands'],
    Sheet: ['server/prepare/'],
    SheetSample: ['server/prepare/'],
    SeatAddress: ['server/prepare/'],
  },
  // For panels of a dry run, which nobody sits on: from a seed of its own, never from a study's.
  'server/blinding/simulated-draw': {
    simulatedSitting: ['server/dry-run/drawn-panel'],
    SimulatedSamples: ['server/dry-run/drawn-panel'],
  },
  // While sealed: how far the answers speak, without saying for which sample.
  'server/blinding/looks': {
    lookNow: ['server/review/looks/look'],
    Look: ['server/review/looks/look'],
    looksIn: ['server/review/'],
    // After unsealing: throws for a study that is sealed.
    afterDecision: ['server/review/answers-csv', 'server/review/flow-by-audience'],
    LookTaken: ['server/review/looks/'],
    AudienceLook: ['server/review/looks/'],
  },
  'server/blinding/presentation-sound': { makeSounds: ['server/listen/sounds'], TrialSounds: ['server/listen/sounds'] },
  'server/blinding/reveal': { tryReveal: ['server/prepare/reveal'], Revealing: ['server/prepare/reveal'] },
  'server/blinding/revealed': {},
  'server/blinding/replay': {},
  'server/blinding/check/draw': {},
};

/** What shapes of the wire are made of. Ids of units and prototypes are not among it. */
const forWire: Readonly<Record<string, readonly string[] | 'all'>> = {
  'shared/brands': ['Code', 'TrialId', 'SittingId', 'SessionId', 'ListenerId', 'StudyId', 'Unbranded'],
  'shared/plan': ['conditions', 'planLimits'],
  'shared/guesses': 'all',
  'shared/scales': 'all',
  'shared/states': 'all',
  'shared/words/desk': 'all',
  'shared/words/en': 'all',
  'shared/words/mishaps': 'all',
};

/** Ways past the views, where every model is checked: a closed list. */
const sentBare =
  /^\.(?:json\((?:sentReply\(|sentManifest\(|\{ ok: true(?:, link)? \}\))|end\(\s*sentSound\(\w+\.wav\)\))/;

export function blindViolations(files: readonly Source[]): Violation[] {
  return files.flatMap(({ path, source }) => {
    if (!/^(?:server|client|shared|protocols|stats)\/.*\.(?:ts|mts|mjs|hbs)$/.test(path)) return [];
    const found: Violation[] = [];
    const breaks = (imports: string, rule: string) => found.push({ path, imports, rule });
    const code = withoutComments(source);
    for (const one of namedImports(path, source)) checkImport(path, one, breaks);
    if (!path.startsWith('server/store/')) {
      const secret = /\b(?:study_secret|sealed_draw)\b/.exec(code);
      if (secret) breaks(secret[0], 'only server/store names the tables of secrets');
    }
    if (blindRooms.test(path)) checkBlindRoom(path, code, breaks);
    if (path.startsWith('shared/wire') && /\b(?:UnitId|PrototypeId)\b/.test(code)) {
      breaks('UnitId or PrototypeId', 'shared/wire knows no units and no prototypes');
    }
    return found;
  });
}

function checkImport(path: string, { target, names }: Named, breaks: (imports: string, rule: string) => void): void {
  const inBlinding = path.startsWith('server/blinding/');
  const module = path.replace(/\.\w+$/, '');
  if (target === 'server/store/secrets' && !inBlinding) breaks(target, 'only server/blinding reads sealed secrets');
  if (target.startsWith('server/blinding/') && blindRooms.test(path)) {
    const allowed = forBlindRooms[target] ?? [];
    const more = names.filter((name) => !allowed.includes(name));
    if (more.length > 0) breaks(`${target}: ${more.join(', ')}`, 'rooms for phones and the desk get codes only');
  }
  const joins = inBlinding ? undefined : joining[target];
  if (joins) {
    const may = (name: string) =>
      Object.hasOwn(joins, name) &&
      (joins[name] ?? []).some((place) => (place.endsWith('/') ? module.startsWith(place) : module === place));
    const more = names.filter((name) => !may(name));
    if (more.length > 0) breaks(`${target}: ${more.join(', ')}`, 'only server/blinding joins code and identity');
  }
  if (path.startsWith('shared/wire/') && target !== 'zod' && !target.startsWith('shared/wire/')) {
    const allowed = forWire[target] ?? [];
    const more = allowed === 'all' ? [] : names.filter((name) => !allowed.includes(name));
    if (allowed.length === 0 || more.length > 0) {
      breaks(`${target}: ${more.join(', ')}`, 'shared/wire knows no units and no prototypes');
    }
  }
}

function checkBlindRoom(path: string, code: string, breaks: (imports: string, rule: string) => void): void {
  const named = identities.exec(code);
  if (named) breaks(named[0], 'rooms for phones and the desk know no prototypes and no units');
  const room = /^server\/(listen|run|live)\//.exec(path)?.[1];
  if (!room || !path.endsWith('.ts')) return;
  for (const [, , view = ''] of code.matchAll(/\bviews\.(page|part)\(\s*([^,\s]+)/g)) {
    if (!view.startsWith(`'${room}/`)) breaks(view, 'rooms for phones and the desk render checked views of their own');
  }
  for (const { index } of code.matchAll(/\.(?:json|jsonp|end|write|sendFile|download)\(/g)) {
    const sent = code.slice(index);
    if (!sentBare.test(sent) && !sent.startsWith('.write((tx) =>')) {
      breaks(sent.slice(0, 40), 'what goes to phones and the desk goes through checked views or messages');
    }
  }
  for (const [sent, what = ''] of code.matchAll(/\.send\(\s*([\w.]+)/g)) {
    if (!/^(?:parts\.)?views\.(?:page|part)$/.test(what)) {
      breaks(sent, 'what goes to phones and the desk goes through checked views or messages');
    }
  }
  for (const { 0: sent, index } of code.matchAll(/(\w+)\.emit\(|\.emit\(/g)) {
    const whole = code.slice(index, index + 120);
    if (
      !/^events\.emit\('(?:study|sitting|signed-out)', \w+\)/.test(whole) &&
      !/\.emit\('\w+', sent\w+\(/.test(whole)
    ) {
      breaks(sent, 'what goes to phones and the desk goes through checked views or messages');
    }
  }
}

interface Named {
  target: string;
  /** `*` for a whole module. */
  names: string[];
}

/** Every import with the names that it takes, as they are called where they come from. */
function namedImports(path: string, source: string): Named[] {
  const code = withoutComments(source);
  const found: Named[] = [];
  const statements = /\b(?:import|export)\b(?:\s+type\b)?([^'"`;()]*?)\bfrom\s*(['"])([^'"]+)\2/g;
  const resolved = (target: string): string => importsOf(path, `import '${target}';`)[0]?.target ?? target;
  for (const [, what = '', , target = ''] of code.matchAll(statements)) {
    const braces = /\{([^}]*)\}/.exec(what)?.[1];
    const outside = what.replace(/\{[^}]*\}/, '').replace(/[,\s]/g, '');
    const names = (braces ?? '').split(',').flatMap((one) => {
      const name = one
        .trim()
        .replace(/^type\s+/, '')
        .split(/\s+as\s+/)[0];
      return name ? [name] : [];
    });
    found.push({ target: resolved(target), names: outside === '' ? names : [...names, '*'] });
  }
  const called = /\b(?:import|require)\s*\(\s*(['"`])([^'"`]+)\1/g;
  for (const [, , target = ''] of code.matchAll(called)) found.push({ target: resolved(target), names: ['*'] });
  return found;
}
