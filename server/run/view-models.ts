/** What the views of this room are rendered with. All of it goes to the desk, so its shapes stand in shared/wire. */
export type { Desk, DeskSeat, DeskSession, Hand } from '../../shared/wire/desk';
export type {
  CardPage,
  CloseSessionPage,
  DeskPage,
  PanelGroup,
  PanelMember,
  PanelPage,
} from '../../shared/wire/desk-pages';
