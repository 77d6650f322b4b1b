import { EventEmitter } from 'node:events';
import type { SittingId, StudyId } from '../../shared/brands';

/** Tells whoever listens that something was changed and is on disk. Says what, never to what. */
export class Hub {
  private readonly events = new EventEmitter().setMaxListeners(0);

  studyChanged(study: StudyId): void {
    this.events.emit('study', study);
  }

  sittingChanged(sitting: SittingId): void {
    this.events.emit('sitting', sitting);
  }

  onStudy(listener: (study: StudyId) => void): void {
    this.events.on('study', listener);
  }

  onSitting(listener: (sitting: SittingId) => void): void {
    this.events.on('sitting', listener);
  }
}
