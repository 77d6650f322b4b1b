import type { TourStop } from '../parts';
import { passphrase } from './cast';
import type { Played } from './play';

/** Every page worth a look, each one click from the first page. */
export function tourOf({ paths, today }: Pick<Played, 'paths' | 'today'>): TourStop[] {
  return [
    {
      label: 'First impressions over four weeks',
      url: `${paths['first-impressions']}/review`,
      detail:
        'Two audiences that want opposite things, so that nothing is said of both together; what a higher price buys; what time does. Waits for your signature.',
    },
    {
      label: 'What five of them are like',
      url: `${paths.profile}/review`,
      detail: 'A profile, what units measure beside how they were heard, and a map with who likes what.',
    },
    {
      label: 'Is the damper heard?',
      url: `${paths.abx}/review`,
      detail: 'ABX, signed by somebody who neither planned nor ran it.',
    },
    {
      label: 'Which one do they prefer?',
      url: `${paths.preference}/review`,
      detail: `Closed. Unseal it with “${passphrase}”.`,
    },
    {
      label: 'One product, study after study',
      url: '/products/fink-3',
      detail: 'What was found each time, and why some studies share no axis.',
    },
    {
      label: 'A report to pass on',
      url: `${paths.abx}/review/report.html`,
      detail: 'The whole letter in one file, which opens without this server.',
    },
    {
      label: 'Who listens',
      url: '/listeners',
      detail: 'Each with a page: when they came, and how steadily they answered.',
    },
    { label: 'The desk', url: `${paths.running}/run`, detail: 'A session is open, and somebody waits at a seat.' },
    { label: 'The panel', url: `${paths.running}/run/panel`, detail: 'Who is due, too early or overdue.' },
    {
      label: 'The preparation sheets',
      url: `${paths.running}/prepare`,
      detail: `Opened with “${passphrase}”. Whoever does that may not run this desk.`,
    },
    { label: 'A phone at the door', url: `/j/${today.joinCode}`, detail: 'Join the open session as somebody new.' },
    {
      label: 'A phone before the first sound',
      url: today.starting,
      detail: 'Tap as the piece begins; the window runs, and the scales are open.',
    },
    { label: 'A phone at the scales', url: today.rating, detail: 'The window is over: this rating will be late.' },
    { label: 'A phone at the question', url: today.asking, detail: 'Two samples heard, one question.' },
    {
      label: 'A phone that plays by itself',
      url: today.playing,
      detail: 'ABX of two tunings that nobody has built: check your sound, then switch between the cards.',
    },
    { label: 'A phone that was swapped', url: today.elsewhere, detail: 'A listener goes on with one phone at a time.' },
    {
      label: 'The sound of a study',
      url: `${paths.renders}/sound`,
      detail: 'A render for each prototype, cut, aligned and matched.',
    },
    { label: 'What units measure', url: `${paths.running}/levels`, detail: 'By ear, with what is within tolerance.' },
    {
      label: 'Who does what',
      url: `${paths['first-impressions']}/team`,
      detail: 'Roles, and the label that they earn on the report.',
    },
    { label: 'A locked plan', url: `${paths['first-impressions']}/plan`, detail: 'With its seals.' },
    { label: 'A draft', url: `${paths.draft}/plan`, detail: 'Change it, and see what it can find.' },
    {
      label: 'A rehearsal',
      url: `${paths.draft}/rehearsal`,
      detail: 'Simulated listeners play that draft; choose what there is to hear.',
    },
    {
      label: 'Answers from elsewhere',
      url: `${paths.draft}/answers`,
      detail: 'What was gathered on paper or by another program gets the same letter.',
    },
    {
      label: 'A dry run',
      url: `${paths.draft}/dry-run`,
      detail: 'The same by the thousand: how often it would find what there is, and what there isn’t.',
    },
    { label: 'How blind can we be?', url: '/about/teams', detail: 'One person, two, or three and more.' },
  ];
}
