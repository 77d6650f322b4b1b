import { fault } from './fault.mjs';

/** Faults in what a listener hears, in how it is counted, and in what takes it away. */
export const player = [
  fault(
    'one fades in while the other fades out',
    'client/phone/player/switchboard.ts',
    [['in: out + fade + gap', 'in: out']],
    'client/phone/player/switchboard',
    'browser/player',
  ),
  fault(
    'the first tap wins',
    'client/phone/player/switchboard.ts',
    [['this.#wanted = index;', 'this.#wanted ??= index;']],
    'client/phone/player/switchboard',
  ),
  fault(
    'a running fade is cut short',
    'client/phone/player/switchboard.ts',
    [['if (out < this.#settled) return', 'if (out < 0) return']],
    'client/phone/player/switchboard',
  ),
  fault(
    'fades that touch',
    'client/phone/player/switchboard.ts',
    [['const apart = 1;', 'const apart = 0;']],
    'browser/player',
  ),
  fault(
    'heard goes on after a switch',
    'client/phone/player/switchboard.ts',
    [['Math.max(0, Math.min(now, to) - from)', 'Math.max(0, now - from)']],
    'client/phone/player/switchboard',
    'browser/player',
  ),
  fault(
    'a fade that is a step',
    'client/phone/player/fades.ts',
    [['0.5 - 0.5 * Math.cos((Math.PI * at) / frames)', 'at * 2 > frames ? 1 : 0']],
    'client/phone/player/fades',
    'browser/player',
  ),
  fault(
    'a loop that comes round without a fade',
    'client/phone/player/player.ts',
    [['fadedPiece(samples, from, to, edge)', 'samples.slice(from, to)']],
    'browser/player',
  ),
  fault(
    'presentations begin one sample apart',
    'client/phone/player/player.ts',
    [['source.start(when, ', 'source.start(when + at / this.#rate, ']],
    'browser/player',
  ),
  fault(
    'goes on from the beginning',
    'client/phone/player/player.ts',
    [['this.#resumeAt = this.#positionIn(run, out);', 'this.#resumeAt = 0;']],
    'browser/player',
  ),
  fault(
    'starts over the fade of what was stopped',
    'client/phone/player/player.ts',
    [['Math.max(this.#now() + this.#lead(), this.#lastEnd + gapFrames)', 'this.#now() + this.#lead()']],
    'browser/player',
  ),
  fault(
    'a window that lasts as long as its sound',
    'client/phone/player/deck.ts',
    [['{ to: Math.round(seconds * sounds.rate) }', '{ to: Math.round(seconds * sounds.rate * 99) }']],
    'browser/player-deck',
  ),
  fault(
    'told that it plays before it does',
    'client/phone/player/deck.ts',
    [['      this.#open(this.#lastActive);', '      this.#cards?.tell();\n      this.#open(this.#lastActive);']],
    'browser/player-deck',
  ),
  fault(
    'answered before it was heard',
    'client/phone/player/deck.ts',
    [['this.#heardMs().every((ms) => ms >= this.settings.minimum * 1000)', 'this.#heardMs().some((ms) => ms > 0)']],
    'browser/player-deck',
  ),
  fault(
    'plays on behind a hidden page',
    'client/phone/player/watch.ts',
    [["if (document.visibilityState === 'hidden') broke('hidden');", '']],
    'browser/player-deck',
  ),
  fault(
    'a clock that stands is waited for',
    'client/phone/player/watch.ts',
    [['return now() - last.at > patience', 'return now() - last.at > 1e9']],
    'client/phone/player/watch',
    'browser/player-deck',
  ),
  fault(
    'sounds taken as they come',
    'client/phone/player/load.ts',
    [['if (read?.sha256 === announced.sha256) return', 'if (read) return']],
    'browser/player',
  ),
  fault(
    'samples with their low byte lost',
    'client/phone/player/wav24.ts',
    [['((bytes[at] ?? 0) << 8) | ', '']],
    'client/phone/player/wav24',
  ),
  fault(
    'the same ear always first',
    'client/phone/player/check-sounds.ts',
    [['byte & 1 ?', 'byte & 0 ?']],
    'client/phone/player/check-sounds',
  ),
  fault(
    'a tone in both ears',
    'client/phone/player/check-sounds.ts',
    [['const silence = new Float32Array(frames);', 'const silence = tone;']],
    'client/phone/player/check-sounds',
  ),
];
