import type { Outcome } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';

/** A panel in one session: of so many trials each, each listener has so many right. */
export const rightPanel = (right: readonly number[], trials: number): Outcome[] =>
  right.flatMap((correct, n) =>
    Array.from({ length: trials }, (_, t): Outcome => {
      const listener = `home-${String(n + 1).padStart(3, '0')}`;
      return {
        listener: listener as ListenerId,
        audience: 'home' as AudienceId,
        session: 'SE1' as SessionId,
        sessionNumber: 1,
        sitting: `${listener} in 1` as SittingId,
        sittingNumber: 1,
        trial: `${listener} in 1, ${t + 1}` as TrialId,
        scale: null,
        prototypes: ['proto-a', 'proto-b'] as PrototypeId[],
        units: [],
        excerpt: null,
        position: t + 1,
        exposure: 1,
        late: false,
        flags: [],
        value: t < correct ? 1 : 0,
      };
    }),
  );
