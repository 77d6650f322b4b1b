import { EventEmitter } from 'node:events';
import type { ListenerId, SittingId, StudyId } from '../../shared/brands';

/** Tells whoever listens that something was changed and is on disk. Says what, never to what. */
export class Hub {
  private readonly events = new EventEmitter().setMaxListeners(0);

  studyChanged(study: StudyId): void {
    this.events.emit('study', study);
  }

  sittingChanged(sitting: SittingId): void {
    this.events.emit('sitting', sitting);
  }

  /** The links of a listener have ended: no phone goes on with them. */
  signedOut(listener: ListenerId): void {
    this.events.emit('signed-out', listener);
  }

  onSignedOut(heard: (listener: ListenerId) => void): void {
    this.events.on('signed-out', heard);
  }

  onStudy(listener: (study: StudyId) => void): void {
    this.events.on('study', listener);
  }

  onSitting(listener: (sitting: SittingId) => void): void {
    this.events.on('sitting', listener);
  }
}
