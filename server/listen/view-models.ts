/** What the views of this room are rendered with. All of it goes to phones, so its shapes stand in shared/wire. */
export type {
  FindSessionPage,
  HelpPage,
  HistoryPage,
  JoinPage,
  ListenPage,
  NotNowPage,
  PersonalLinkPage,
} from '../../shared/wire/phone-pages';
export type {
  AnswerPart,
  AskedPart,
  CheckInPart,
  ConsentPart,
  GradedCard,
  GradedScale,
  GradingPart,
  GuessingPart,
  PlacePart,
  PlayerPart,
  RatingPart,
  SampleNow,
  ScalePart,
  TrialPart,
} from '../../shared/wire/phone-part';
export type { SoundCheckPart } from '../../shared/wire/sound-check';
