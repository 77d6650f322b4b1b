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
  'join.seen.hint': 'Be frank: whoever has can’t listen in this study, and nothing else follows.',
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

  'next.early.title': 'Not yet, {alias}',
  'next.early.text': 'Ears need a rest between two sittings. Your next one can begin from',
  'next.early.come': 'Come back then by your own link or your card. Any phone will do.',
  'next.over.title': 'No more sittings for you here',
  'next.over.text': 'Your last sitting in this study had to begin by {until}. What you answered is kept.',
  'next.over.all': 'The sittings that you could come to are over. What you answered is kept.',
  'next.complete.title': 'You have had all your sittings',
  'next.complete.text': 'There is nothing more to do in this study.',
  'next.thanks': 'Thank you for your time.',

  'card.title': 'Listening panel',
  'card.when.next': 'Your next sitting: come to the next session.',
  'card.when.from': 'Your next sitting: from {from}.',
  'card.when.until': 'The last one must begin by {until}.',
  'card.when.none': 'There is no sitting to come.',
  'card.scan': 'On the day, scan this with any phone, or type the address. It brings you to your place.',
  'card.quiet': 'Keep your ears out of loud sound the day before, and come rested.',
  'card.own': 'It is for you alone. If it is lost, tell the desk.',
  'card.care': 'With pain or ringing in your ears, do not listen. This is not a hearing test.',

  'check-in.title': 'How are you today?',
  'check-in.lead': 'Hearing changes from day to day. Tick all that fits.',
  'check-in.conditions': 'Today',
  'check-in.congestion': 'My nose or ears are blocked',
  'check-in.illness': 'I don’t feel well',
  'check-in.pain': 'An ear hurts',
  'check-in.ringing': 'My ears ring, or sound dull',
  'check-in.loud-sound': 'I was in loud sound in the last day',
  'check-in.tiredness': 'I am tired',
  'check-in.none': 'None of these',
  'check-in.unsaid': 'I would rather not say',
  'check-in.kept':
    'Rules fixed beforehand decide what follows. What you tick is kept apart from your answers, and the desk does not see it.',
  'check-in.care': 'If your ears hurt or ring now, do not listen today. Tell the desk. This is not a hearing test.',
  'check-in.outside.first': 'As far as you know: have you heard any of these samples before, outside this test?',
  'check-in.outside.again':
    'As far as you know: have you heard any of these samples since last time, outside this test?',
  'check-in.outside.no': 'No',
  'check-in.outside.yes': 'Yes',
  'check-in.go': 'Go on',

  'consent.title': 'Before you listen',
  'consent.cautions': 'Take care of your ears',
  'consent.purposes': 'What happens with your answers',
  'consent.tips': 'Ear tips today',
  'consent.version': 'Version {version} of this text',
  'tips.own-tips': 'Keep your own tips: the same type and size on every sample.',
  'tips.cleaned-tips': 'Use the cleaned tips at your seat: the same type and size on every sample.',
  'tips.tip-is-prototype': 'Leave the tip that is on it.',
  'consent.agree': 'I agree',

  'consent.caution.level':
    'Start low. Raise the level only as far as you need, before anything counts, and then leave it there.',
  'consent.caution.pain': 'Pain, ringing or dullness: stop and take it out. Nobody will ask why.',
  'consent.caution.time': 'Rest your ears when you want to. There is no hurry.',
  'consent.caution.tips':
    'Use your own ear tips, or shared ones that were cleaned before you. Not with an infected or sore ear.',
  'consent.caution.no-test': 'This is not a hearing test and gives no medical advice.',
  'consent.caution.rules': 'The rules of this place, and what a doctor or audiologist told you, come first.',
  'consent.purpose.compare': 'They are used to compare the samples, together with those of other listeners.',
  'consent.purpose.alias': 'They are kept under your alias, with their times.',
  'consent.purpose.state':
    'How you are today is kept apart from them. They carry at most a mark, without the reason, and whether you heard the samples elsewhere.',
  'consent.purpose.stop': 'You may stop at any time without a reason. What you answered until then is kept.',

  'stop.button': 'Stop',
  'stop.title': 'Stop for today?',
  'stop.text': 'Take out what you wear. What you have answered is kept, and nobody asks why.',
  'stop.yes': 'Yes, stop',
  'stop.no': 'No, go on',

  'place.look-again': 'Look again',
  'place.title': 'Listening',
  'place.practice': 'For practice. This one does not count.',
  'place.pain': 'Pain or ringing: take it out and press Stop.',

  'unseated.title': 'You are in, {alias}',
  'unseated.text': 'The desk will give you a seat. Keep this page open; it goes on by itself.',

  'waiting.title': 'Wait for',
  'waiting.seat': 'Seat {seat}',
  'waiting.first': 'It will be handed to you. This page goes on by itself.',
  'waiting.next': 'Take out the sample you have and hand it back. This page goes on by itself.',

  // Where two samples of a trial may be one and the same, codes aren't always shown, so they are counted.
  'sample.1': 'the first sample',
  'sample.2': 'the second sample',
  'sample.3': 'the third sample',
  'sample.4': 'the fourth sample',
  'sample.5': 'the fifth sample',
  'sample.6': 'the sixth sample',
  'sample.7': 'the seventh sample',
  'sample.8': 'the eighth sample',
  'sample.one': 'the sample',
  'sample.learnt': 'the one to learn',
  'sample.another': 'another one',
  'picked.1': 'the first',
  'picked.2': 'the second',
  'picked.3': 'the third',
  'picked.4': 'the fourth',
  'picked.5': 'the fifth',
  'picked.6': 'the sixth',
  'picked.7': 'the seventh',
  'picked.8': 'the eighth',
  'heard.1': 'heard first',
  'heard.2': 'heard second',
  'heard.3': 'heard third',
  'heard.4': 'heard fourth',
  'heard.5': 'heard fifth',
  'heard.6': 'heard sixth',
  'heard.7': 'heard seventh',
  'heard.8': 'heard eighth',

  'resetting.title': 'Rest your ears',
  'resetting.silence': 'Sit quietly for {seconds} seconds, with nothing in your ears. Leave the sample where it lies.',
  'resetting.neutral': 'For {seconds} seconds, listen to this, and not through the sample: {item}',
  'resetting.item': 'the piece that the desk has told you.',
  'resetting.over': 'The rest is over.',
  'resetting.go': 'Go on',

  'fitting.title': 'Put in',
  'fitting.sides': 'Left in the left ear, right in the right.',
  'fitting.seal': 'It seals: bass sounds full, and the same in both ears.',
  'fitting.seal.quiet': 'It seals: the room gets quieter, and the same in both ears.',
  'fitting.still': 'Nothing plays yet.',
  'fitting.level.first': 'Start low, set the level, then leave it there.',
  'fitting.level': 'Leave the level as it is. Too loud? Take it out, tell the desk.',
  'fitting.retries': 'Put in again so far: {count}',
  'fitting.yes': 'It fits and seals',
  'fitting.no': 'Not yet, I put it in again',

  'starting.title': 'Ready for',
  'starting.bench-player': 'The piece comes from the player at the bench.',
  'starting.seat-device': 'Start the piece that lies ready at your seat, from its beginning.',
  'starting.none': 'Begin as you were told at the desk.',
  'starting.seat-player': 'This page plays the piece, once.',
  'starting.renders': 'This page plays the piece, once.',
  'starting.tap.player': 'Tap to start. The scales open at once; rate straight away.',
  'starting.once.player': 'After {seconds} seconds it stops by itself, and the sample comes out.',
  'starting.once.renders': 'After {seconds} seconds it stops by itself. You hear it once.',
  'starting.go.player': 'Start',
  'starting.tap': 'Tap at the first sound. The scales open at once; rate straight away.',
  'starting.tap.none': 'Tap as you begin. The scales open at once; rate straight away.',
  'starting.once': 'After {seconds} seconds take it out. You hear it once.',
  'starting.go': 'It plays now',
  'starting.go.none': 'It begins now',

  'rating.window': 'After {seconds} seconds take it out. Rate on.',
  'rating.after': 'Take it out now. Rate on.',
  'rating.window.player': 'After {seconds} seconds it stops. Rate on.',
  'rating.after.player': 'It has stopped. Rate on.',
  'rating.practice.title': 'Try the scales',
  'rating.practice': 'For practice: nothing plays. Tap a place on every scale.',
  'rating.place': '{name}, {place} of {points}, {low} … {high}',
  'rating.next': 'Next scales',
  'rating.back': 'Back',
  'question.rate': 'Your first impression',

  'listening.title': 'Listen to',
  'listening.bench-player': 'The music comes from the player at the bench.',
  'listening.seat-device': 'Play the piece that lies ready at your seat, from the start. Don’t change the level.',
  'listening.none': 'Listen, or feel, as you were told at the desk.',
  'listening.seat-player': 'This page plays the piece, as often as you like. Don’t change the level.',
  'listening.third': 'It is one of the first two. Listen for which.',
  'listening.odd': 'Two of the three are the same. Listen for the other one.',
  'listening.reference': 'Keep this one in mind. One of the next two is the same.',
  'listening.same-as-first': 'Listen for which of the two is the same as the first.',
  'listening.more': 'Listen for this:',
  'listening.two-groups': 'There are two of each kind. Listen for which go together.',
  'listening.two-alike': 'Two are of one kind and three of another. Listen for the two.',
  'listening.same': 'Listen for whether the two are the same.',
  'listening.learn': 'Learn this one. You will be asked about it.',
  'listening.another': 'This is another, so that you know what the one to learn is not.',
  'listening.learnt': 'Listen for whether it is the one that you learnt.',
  'listening.order': 'In the end you put all of them in order, the best first.',
  'listening.compared': 'Listen. The next one is compared with it.',
  'listening.time': 'Take the time you need.',
  'listening.next': 'Heard it, next sample',
  'listening.last': 'Heard it, to the question',

  'comparing.lead': 'Tap a card to hear it. The piece goes on while you change.',
  'player.loading': 'Fetching the sound',
  'player.loaded': 'Ready. Tap to start.',
  'player.blocked': 'The browser holds the sound back. Tap once more.',
  'player.bit': 'Repeat these seconds',
  'player.play': 'Play',
  'player.pause': 'Pause',
  'player.enough': 'heard',
  'player.more': 'Listen a little longer.',
  'player.failed': 'The sound did not arrive whole. Look at the connection; if it stays so, tell the desk.',
  'player.again': 'Try again',
  'player.interrupted': 'The sound was interrupted. Tap to go on.',
  'player.script':
    'This study plays its sound in this page, and for that the page needs its script. Allow it in this browser, or take another one.',

  'sound-check.title': 'Before the first sound',
  'sound-check.lead': 'Once a sitting, so that you hear what you are meant to hear.',
  'sound-check.level.title': 'Level',
  'sound-check.level':
    'Turn the volume of this device low. Play, raise it until it is comfortable, then leave it for the whole sitting.',
  'sound-check.level.play': 'Play the level sound',
  'sound-check.level.stop': 'Stop',
  'sound-check.tones.title': 'Left and right',
  'sound-check.tones': 'Play a tone twice, and tap the ear in which you hear it.',
  'sound-check.tone.1': 'First tone',
  'sound-check.tone.2': 'Second tone',
  'sound-check.left': 'Left',
  'sound-check.right': 'Right',
  'sound-check.connection': 'What do you listen with?',
  'sound-check.wired': 'In-ears on a cable',
  'sound-check.wireless': 'Wireless',
  'sound-check.speakers': 'A loudspeaker',
  'sound-check.checks': 'See to these',
  'sound-check.silent': 'The silent switch and do-not-disturb are set so that sound plays and calls stay out',
  'sound-check.equaliser': 'Equaliser, spatial sound, volume levelling and battery saver are off',
  'sound-check.volume': 'The volume is set, and I leave it there',
  'sound-check.go': 'Go on',
  'sound-check.care': 'Start low. With pain or ringing, stop. This is not a hearing test.',

  'asking.change': 'You can change it until you confirm.',
  'asking.confirm': 'Confirm',
  'question.prefer': 'Which one do you prefer?',
  'question.grade-each': 'How is each of them?',
  'question.grade-one': 'How is this one?',
  'question.grade-second': 'How is the second, compared with the first?',
  'question.grade-against-reference': 'How close does each come to the reference?',
  'question.grade-impairment': 'One of the two is the reference. How much worse is each?',

  'grading.listen': 'Rate it while you listen. Take the time you need.',
  'grading.together': 'Tap a sample to hear it. The piece goes on while you change. Rate as you listen.',
  'grading.line': 'Tap or drag along the line, or type a number.',
  'grading.like-reference': 'Where you hear no difference from the reference, give 100.',
  'grading.among': 'The reference is among them once more. Where you hear no difference from it, give 100.',
  'grading.taken-for': 'The one that you take for the reference gets 5.0.',
  'grading.again': 'All of them once more, as you rated them. Change what you like, then confirm.',
  'grading.reference': 'Reference',
  'grading.meaning': 'What is meant',
  'grading.number': '{name}, a number from {low} to {high}',
  'grading.less': 'A little less',
  'grading.more': 'A little more',
  'grading.ticks': 'Which words fit? Tick all that do.',
  'grading.next': 'Next page',
  'grading.none': 'None of these',
  'grading.missing': 'Something has no answer yet. Answer all of it, then confirm.',
  'grading.missing.ticks': 'Tick the words that fit, or say that none does.',
  'grading.both': 'Either words fit or none does. Take one of the two back.',
  'grading.filled.samples': '{done} of {count} rated',
  'grading.filled.items': '{done} of {count} answered',

  // Scales of standards: their names, and the words at their points.
  'scale.quality': 'Quality',
  'scale.quality.excellent': 'excellent',
  'scale.quality.good': 'good',
  'scale.quality.fair': 'fair',
  'scale.quality.poor': 'poor',
  'scale.quality.bad': 'bad',
  'scale.impairment': 'Impairment',
  'scale.impairment.5': 'imperceptible',
  'scale.impairment.4': 'perceptible, but not annoying',
  'scale.impairment.3': 'slightly annoying',
  'scale.impairment.2': 'annoying',
  'scale.impairment.1': 'very annoying',
  'scale.comparison': 'Quality',
  'scale.comparison.much-better': 'much better',
  'scale.comparison.better': 'better',
  'scale.comparison.slightly-better': 'slightly better',
  'scale.comparison.same': 'about the same',
  'scale.comparison.slightly-worse': 'slightly worse',
  'scale.comparison.worse': 'worse',
  'scale.comparison.much-worse': 'much worse',
  'scale.just-about-right': 'just about right',
  'question.match': 'The third was one of the first two. Which?',
  'question.odd': 'Two of the three were the same. Which was the other one?',
  'question.same-as-first': 'Which one is the same as the first?',
  'question.more': 'Which one has more of this?',
  'question.two-groups': 'There are two of each kind. Which two go together?',
  'question.two-alike': 'Two are of one kind and three of another. Which are the two?',
  'question.same': 'Were they the same, or different?',
  'question.learnt': 'Is it the one that you learnt?',
  'question.order': 'Put them in order, the best first.',
  'answer.same': 'The same',
  'answer.different': 'Different',
  'answer.learnt': 'Yes, that one',
  'answer.other': 'No, another',
  'answer.none': 'No preference',
  'order.place': 'Place of {code}',
  'order.unplaced': 'not placed',
  'order.1': 'best',
  'order.2': '2nd',
  'order.3': '3rd',
  'order.4': '4th',
  'order.5': '5th',
  'order.6': '6th',
  'order.7': '7th',
  'order.8': '8th',
  'asking.pick': 'Tap {count} of them.',
  'asking.order': 'Tap them in order. Tap one again to take it out.',
  'asking.order.lists': 'Choose a place for each.',
  'asking.missing.one': 'Choose one answer, then confirm.',
  'asking.missing.group': 'Pick {count} of them, no more and no fewer, then confirm.',
  'asking.missing.order': 'Give each of the {count} a place of its own, the best first, then confirm.',

  'words.title': 'Anything to say about them?',
  'words.struck': 'What struck you?',
  'words.struck.hint': 'If you like, one line of up to {limit} characters. No other listener sees it.',
  'words.hint': 'If you like. Up to {limit} characters each; no other listener sees it.',
  'words.send': 'Send',
  'words.skip': 'Skip',

  'paused.title': 'Paused',
  'paused.text': 'Take out what you wear and rest your ears. Your place is kept; this page goes on by itself.',

  'finished.title': 'That was the last one today',
  'finished.text': 'Take out what you wear, and hand back any sample. Thank you for your time.',
  'finished.quick': 'Nothing was shown on the way, so that nothing leaned your answers. Now it can be unsealed.',
  'finished.quick.go': 'Close and unseal',
  'finished.next': 'Your next sitting: come to the next session.',
  'finished.next.from': 'Your next sitting can begin from {from}.',
  'finished.ears': 'If your ears ring or sound dull, keep them quiet for a day or two. If it stays, see a doctor.',

  'guessing.title': 'One last thing',
  'guessing.last': 'Take out what you wear, and hand back any sample.',
  'guessing.sample': 'Your last sample was',
  'guessing.question': 'Which one do you think it was?',
  'guessing.none': 'I have no idea',
  'guessing.sure': 'How sure are you?',
  'guessing.sure.guess': 'A guess',
  'guessing.sure.fairly': 'Fairly sure',
  'guessing.sure.certain': 'Certain',
  'guessing.why': 'It changes none of your answers.',
  'guessing.send': 'Send',
  'guessing.skip': 'Skip',

  'elsewhere.title': 'You go on with another phone',
  'elsewhere.text': 'Your sitting shows on one phone at a time. What you answered here is kept.',
  'elsewhere.here': 'Go on here',

  'postponed.title': 'Better not today',
  'postponed.text': 'This test is for ears that feel as usual.',
  'postponed.kept': 'Your place is kept.',
  'postponed.next': 'You can come to another session.',
  'postponed.next.until': 'You can come to another session, if your sitting begins by {until}.',
  'postponed.lost': 'By the rules of this study, a session held without you is lost.',
  'postponed.last':
    'By the rules of this study, a session held without you is lost. If others listen in this one, it was your last.',
  'postponed.over': 'There is no other session for you in this study. Thank you for your time.',
  'postponed.desk': 'Nobody at the desk is told why. Rest, and keep your ears out of loud sound.',
  'postponed.care': 'Ringing, pain or dullness that stays: see a doctor. This is not a hearing test.',

  'out.title': 'You have stopped for today',
  'out.text': 'Take out what you wear, and hand back any sample. What you answered is kept. Thank you for your time.',

  'out.unseated.title': 'Not listening today',
  'out.unseated.text': 'You had no seat yet, so there is nothing to hand back. If this is a mistake, tell the desk.',

  'closed.title': 'This session is closed',
  'closed.text': 'Take out what you wear, and hand back any sample. What you answered is kept.',

  'status.kept': 'Saved on this phone, sending',
  'status.waiting': 'Saved on this phone. It is sent when the connection is back.',
  'status.offline': 'No connection. Your place is kept.',
  'status.stale': 'This page was open too long. Load it again; nothing is lost.',
  'status.signed-out': 'The link of this phone has ended. Ask at the desk for your new card. What is saved here stays.',
  'status.reload': 'Load again',
  'status.screen': 'The screen may go dark while you wait. Your place is kept.',
  'status.refused': 'That was not taken',
  'status.late': 'That came too late',
  'status.late.text':
    'The session was closed before your answer got here. It is kept apart and does not count. You need not do anything.',

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
export const consentVersion = 'en-3';
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
  words['consent.purpose.state'],
  words['consent.purpose.stop'],
] as const;

export interface VerdictWords {
  short: string;
  meaning: string;
}

/** Two or three plain words for each verdict, for headings, and one sentence on what the word means in any method. */
export const verdictWords: Record<Verdict, VerdictWords> = {
  'difference-shown': {
    short: 'A difference is shown',
    meaning: 'Answers about the two samples differ by more than chance explains.',
  },
  'similarity-shown': {
    short: 'Similar for the purpose',
    meaning: 'Any difference is smaller than the smallest one that the plan called worth finding.',
  },
  preferred: {
    short: 'A preference is shown',
    meaning: 'One sample was preferred more often than chance explains, with the listener as the unit.',
  },
  'not-separated': {
    short: 'Too close to matter',
    meaning: 'Over the whole panel, any effect is smaller than the smallest one that the plan called worth finding.',
  },
  undecided: {
    short: 'Undecided',
    meaning: 'The data allow both an effect worth finding and none; more listeners may settle it.',
  },
  'not-enough-data': {
    short: 'Not enough data',
    meaning: 'Too few listeners or answers came in for any statement.',
  },
};

/** Where one kind of method says it in words of its own. */
const ownVerdictWords: Record<string, Partial<Record<Verdict, VerdictWords>>> = {
  difference: {
    'difference-shown': {
      short: 'The difference is heard',
      meaning: 'More answers were right than guessing explains.',
    },
    undecided: {
      short: 'Undecided',
      meaning: 'The data allow both a difference that is worth hearing and mere guessing; more trials may settle it.',
    },
  },
  preference: {
    'not-separated': {
      short: 'No preference worth finding',
      meaning:
        'Over the whole panel, any preference is smaller than the smallest one that the plan called worth finding.',
    },
    undecided: {
      short: 'Undecided',
      meaning: 'The data allow both a preference worth having and none; more listeners may settle it.',
    },
  },
  ranking: {
    preferred: {
      short: 'A preference is shown',
      meaning: 'Rankings agree more than chance explains, and at least two of the samples are told apart.',
    },
    'not-separated': {
      short: 'No preference worth finding',
      meaning:
        'Over the whole panel, for every two samples any preference is smaller than the smallest one that the plan called worth finding.',
    },
    undecided: {
      short: 'Undecided',
      meaning: 'The data allow both an order worth having and none; more listeners may settle it.',
    },
  },
  rating: {
    'difference-shown': {
      short: 'A difference is shown',
      meaning: 'On average over listeners the two were rated further apart than chance explains.',
    },
    'not-separated': {
      short: 'Too close to matter',
      meaning:
        'On average over listeners, any difference in rating is smaller than the smallest one that the plan called worth finding.',
    },
  },
};

/** The words for a verdict of a method of that family. */
export const verdictWordsIn = (family: string, verdict: Verdict): VerdictWords =>
  ownVerdictWords[family]?.[verdict] ?? verdictWords[verdict];
