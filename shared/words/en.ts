import type { Verdict } from '../verdicts';

/**
 * Every sentence that a listener sees, in English, and the plain words for the verdicts. `{name}` is a place for a
 * value. Instructions are the same for every listener of a study, since a wording can lean an answer.
 * Style: second person, sentence case, verbs on buttons, no praise, nothing about what a sample is.
 */
export const words = {
  'app.name': 'Fair Hearing',

  'problems.title': 'Please look at this again',

  'find.title': 'Join a session',
  'find.lead': 'Type the short code that stands on the screen at the desk.',
  'find.code': 'Session code',
  'find.go': 'Find the session',

  'join.title': 'Who is listening?',
  'join.alias': 'Your alias',
  'join.alias.hint': 'Any name you like; it need not be your own.',
  'join.known': 'You are here as {alias}.',
  'join.audience': 'You listen as',
  'join.seen': 'Did you prepare these samples, or see which is which?',
  'join.seen.hint': 'Be frank: it only matters for how the answers may be used.',
  'join.seen.no': 'No',
  'join.seen.yes': 'Yes',
  'join.go': 'Join',

  'link.title': 'Your own link',
  'link.lead':
    'It brings you back to your place: after a break, or at the next session. Keep it, and keep it to yourself.',
  'link.label': 'Personal link',
  'link.copy': 'Copy the link',
  'link.copied': 'Copied',
  'link.qr': 'Changing to another phone? Scan this with it.',
  'link.qr.alt': 'QR code of your personal link',
  'link.go': 'Go on',

  'check-in.title': 'How are you today?',
  'check-in.lead': 'Hearing and health change from day to day. Choose what fits best.',
  'check-in.care': 'If your ears hurt or ring now, do not listen today. Tell the desk.',
  'check-in.hearing': 'Your hearing today',
  'check-in.hearing.usual': 'As usual',
  'check-in.hearing.dull': 'Duller than usual, or blocked',
  'check-in.hearing.loud': 'I was in loud sound in the last day',
  'check-in.hearing.ringing': 'Ringing or pain',
  'check-in.hearing.unsaid': 'I would rather not say',
  'check-in.health': 'Your health today',
  'check-in.health.well': 'Well',
  'check-in.health.tired': 'Tired',
  'check-in.health.cold': 'A cold or a blocked nose',
  'check-in.health.unwell': 'Not well in another way',
  'check-in.health.unsaid': 'I would rather not say',
  'check-in.go': 'Go on',

  'consent.title': 'Before you listen',
  'consent.cautions': 'Take care of your ears',
  'consent.purposes': 'What happens with your answers',
  'consent.tips': 'Ear tips today',
  'consent.version': 'Version {version} of this text',
  'consent.agree': 'I agree',

  'consent.caution.level': 'Start low. Raise the level in practice only as far as you need, then leave it there.',
  'consent.caution.pain': 'Pain, ringing or dullness: stop and take it out. Nobody will ask why.',
  'consent.caution.time': 'Rest your ears when you want to. There is no hurry.',
  'consent.caution.tips':
    'Use your own ear tips, or shared ones that were cleaned before you. Not with an infected or sore ear.',
  'consent.caution.no-test': 'This is not a hearing test and gives no medical advice.',
  'consent.caution.rules': 'The rules of this place, and what a doctor or audiologist told you, come first.',
  'consent.purpose.compare': 'They are used to compare the samples, together with those of other listeners.',
  'consent.purpose.alias': 'They are kept under your alias, with the times and what you said about today.',
  'consent.purpose.stop': 'You may stop at any time without a reason. What you answered until then is kept.',

  'stop.button': 'Stop',
  'stop.title': 'Stop for today?',
  'stop.text': 'Take the sample out. What you have answered is kept, and nobody asks why.',
  'stop.yes': 'Yes, stop',
  'stop.no': 'No, go on',

  'place.look-again': 'Look again',
  'place.practice': 'For practice. This one does not count.',
  'place.pain': 'Pain or ringing: take it out and press Stop.',

  'unseated.title': 'You are in, {alias}',
  'unseated.text': 'The desk will give you a seat. Keep this page open; it goes on by itself.',

  'waiting.title': 'Wait for',
  'waiting.seat': 'Seat {seat}',
  'waiting.first': 'It will be handed to you. This page goes on by itself.',
  'waiting.next': 'Take out the sample you have and hand it back. This page goes on by itself.',

  'fitting.title': 'Put in',
  'fitting.sides': 'Left in the left ear, right in the right.',
  'fitting.seal': 'It seals: bass sounds full, and the same in both ears.',
  'fitting.level.first': 'Start low, set the level, then leave it there.',
  'fitting.level': 'Leave the level as it is. Too loud? Take it out, tell the desk.',
  'fitting.retries': 'Put in again so far: {count}',
  'fitting.yes': 'It fits and seals',
  'fitting.no': 'Not yet, I put it in again',

  'listening.title': 'Listen to',
  'listening.time': 'Take the time you need.',
  'listening.next': 'Heard it, next sample',
  'listening.last': 'Heard it, to the question',

  'asking.change': 'You can change it until you confirm.',
  'asking.confirm': 'Confirm',
  'question.prefer': 'Which one do you prefer?',
  'answer.none': 'No preference',

  'words.title': 'Anything to say about them?',
  'words.hint': 'If you like. Up to {limit} characters each; no other listener sees it.',
  'words.send': 'Send',
  'words.skip': 'Skip',

  'paused.title': 'Paused',
  'paused.text': 'Take the sample out and rest your ears. Your place is kept; this page goes on by itself.',

  'finished.title': 'That was the last one',
  'finished.text': 'Hand back what you have. Thank you for your time.',
  'finished.ears': 'If your ears ring or sound dull, keep them quiet for a day or two. If it stays, see a doctor.',
  'finished.link': 'Your link, for next time:',

  'out.title': 'You have stopped for today',
  'out.text': 'Take the sample out and hand it back. What you answered is kept. Thank you for your time.',

  'closed.title': 'This session is closed',
  'closed.text': 'Hand back what you have. What you answered is kept.',

  'status.kept': 'Saved on this phone, sending',
  'status.waiting': 'Saved on this phone. It is sent when the connection is back.',
  'status.offline': 'No connection. Your place is kept.',
  'status.stale': 'This page was open too long. Load it again; nothing is lost.',
  'status.reload': 'Load again',
  'status.screen': 'The screen may go dark while you wait. Your place is kept.',
  'status.refused': 'That was not taken',

  'help.title': 'My phone can’t reach this',
  'help.lead': 'Phone and laptop must be in the same network. Try these in order.',
  'help.wifi.title': 'The same Wi-Fi',
  'help.wifi.text': 'Look on both which Wi-Fi they use. Turn off mobile data on the phone for a moment, and any VPN.',
  'help.address.title': 'Another address',
  'help.address.text': 'Type one of these into the browser of the phone, exactly as it stands.',
  'help.address.none': 'Ask at the desk for the address; it stands in the window where the program runs.',
  'help.guest.title': 'No guest network',
  'help.guest.text':
    'Guest and hotel networks often keep devices apart. Use another network, or make one: turn on the hotspot of a phone and join it with the laptop and every other phone.',
  'help.firewall.title': 'Let the laptop be reached',
  'help.firewall.text':
    'The firewall of the laptop may refuse. Allow incoming connections for Node in its settings, and mark this network as private, not public.',
  'help.sleep.title': 'Keep the laptop awake',
  'help.sleep.text':
    'A laptop that sleeps answers nobody. Plug it in, leave the lid open, and switch sleep off for today.',
  'help.again.title': 'Then try again',
  'help.again.text': 'Scan the code at the desk once more, or type the short code here.',
  'help.again.go': 'Type the code',
} as const;

export type WordKey = keyof typeof words;

/** Where the listener's consent is stored, it is stored with the version of the text that was shown. */
export const consentVersion = 'en-1';
export const consentCautions = [
  words['consent.caution.level'],
  words['consent.caution.pain'],
  words['consent.caution.time'],
  words['consent.caution.tips'],
  words['consent.caution.no-test'],
  words['consent.caution.rules'],
] as const;
export const consentPurposes = [
  words['consent.purpose.compare'],
  words['consent.purpose.alias'],
  words['consent.purpose.stop'],
] as const;

/** The check-in: two questions, one answer each, and each may be left unsaid. Values are what is stored. */
export const checkInOptions = {
  hearing: ['usual', 'dull', 'loud', 'ringing', 'unsaid'],
  health: ['well', 'tired', 'cold', 'unwell', 'unsaid'],
} as const;
export type CheckInQuestion = keyof typeof checkInOptions;
export type CheckInAnswer<Q extends CheckInQuestion> = (typeof checkInOptions)[Q][number];

/** Two or three plain words for each verdict, for headings, and one sentence on what the word means. */
export const verdictWords: Record<Verdict, { short: string; meaning: string }> = {
  'difference-shown': {
    short: 'A difference was heard',
    meaning: 'The listeners told the samples apart more often than guessing explains.',
  },
  'similarity-shown': {
    short: 'Similar for the purpose',
    meaning: 'Any difference is smaller than the smallest one that the plan called worth hearing.',
  },
  preferred: {
    short: 'A preference is shown',
    meaning: 'One sample was preferred more often than chance explains, with the listener as the unit.',
  },
  'not-separated': {
    short: 'No preference worth finding',
    meaning:
      'Over the whole panel, any preference is smaller than the smallest one that the plan called worth finding.',
  },
  undecided: {
    short: 'Undecided',
    meaning: 'The data allow both a preference worth having and none; more listeners may settle it.',
  },
  'not-enough-data': {
    short: 'Not enough data',
    meaning: 'Too few listeners or answers came in for any statement.',
  },
};
