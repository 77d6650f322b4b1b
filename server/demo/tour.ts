import type { TourStop } from '../parts';
import { passphrase } from './cast';
import type { Played } from './play';

/** Every page worth a look, each one click from the first page. */
export function tourOf({ paths, today }: Pick<Played, 'paths' | 'today'>): TourStop[] {
  const phone = 'In this browser you are a second phone: go on here.';
  return [
    {
      label: 'First impressions over four weeks',
      url: `${paths['first-impressions']}/review`,
      detail: 'Two audiences that want opposite things, and what time does. Waits for your signature.',
    },
    {
      label: 'Is the damper heard?',
      url: `${paths.abx}/review`,
      detail: 'ABX, signed.',
    },
    {
      label: 'Which one do they prefer?',
      url: `${paths.preference}/review`,
      detail: `Closed. Unseal it with “${passphrase}”.`,
    },
    { label: 'The desk', url: `${paths.running}/run`, detail: 'A session is open; somebody waits at a seat.' },
    { label: 'The panel', url: `${paths.running}/run/panel`, detail: 'Who is due, too early, overdue.' },
    {
      label: 'The preparation sheets',
      url: `${paths.running}/prepare`,
      detail: `Opened with “${passphrase}”. Whoever opens one may not run that desk.`,
    },
    { label: 'A phone at the door', url: `/j/${today.joinCode}`, detail: 'Join that session as somebody new.' },
    { label: 'A phone before the first sound', url: today.starting, detail: phone },
    { label: 'A phone at the scales', url: today.rating, detail: phone },
    { label: 'A phone at the question', url: today.asking, detail: phone },
    { label: 'A locked plan', url: `${paths['first-impressions']}/plan`, detail: 'With its seals.' },
    { label: 'A draft', url: `${paths.draft}/plan`, detail: 'Change it, or try it with simulated listeners.' },
    { label: 'How blind can we be?', url: '/about/teams', detail: 'One person, two, or three and more.' },
  ];
}
