import type { Command } from './command';

/** Every command by the words that call it. Loaded when called: `stat` starts no server and opens no database. */
export const commands: Record<string, () => Promise<Command>> = {
  serve: async () => (await import('./serve')).serve,
  demo: async () => (await import('./demo')).demo,
  rehearse: async () => (await import('./rehearse')).rehearse,
  methods: async () => (await import('./methods')).methods,
  plan: async () => (await import('./plan')).plan,
  'dry-run': async () => (await import('./dry-run')).dryRun,
  analyse: async () => (await import('./analyse')).analyse,
  report: async () => (await import('./report')).report,
  import: async () => (await import('./import')).importAnswers,
  check: async () => (await import('./check')).check,
  stat: async () => (await import('./stat')).stat,
  loudness: async () => (await import('./loudness')).loudness,
  backup: async () => (await import('./backup')).backup,
  restore: async () => (await import('./restore')).restore,
  'staff invite': async () => (await import('./staff')).invite,
  'staff reset': async () => (await import('./staff')).reset,
};
