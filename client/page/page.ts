import { followForm } from './asked-only-when';
import { watchFinds } from './finds';
import { watchTextFile, watchWays } from './levels';
import { offerPrint } from './print';
import { takeDrops } from './quick';
import { watchRehearsal } from './rehearsal';
import { watchMatch, watchSound } from './sound';
import { guardUnsaved } from './unsaved';

// Everything here helps pages that work without it as well.
const problems = document.querySelector<HTMLElement>('[data-problems]');
problems?.focus();

offerPrint();

const plan = document.querySelector<HTMLElement>('[data-plan]');
const form = plan?.querySelector<HTMLFormElement>('#plan-form');
if (plan && form) {
  followForm(form);
  watchFinds(form, plan.dataset.finds ?? '');
  guardUnsaved(form, plan);
}

takeDrops(document);

const levels = document.querySelector<HTMLFormElement>('[data-levels]');
if (levels) watchTextFile(levels, 'response');
const bring = document.querySelector<HTMLFormElement>('[data-bring]');
if (bring) watchTextFile(bring, 'plan');
const listening = document.querySelector<HTMLFormElement>('[data-listening]');
if (listening) watchWays(listening);
const sound = document.querySelector<HTMLElement>('[data-sound]');
if (sound) watchSound(sound);
const match = document.querySelector<HTMLFormElement>('[data-match]');
if (match) watchMatch(match);

const rehearsal = document.querySelector<HTMLElement>('[data-rehearsal]');
if (rehearsal) watchRehearsal(rehearsal, rehearsal.dataset.rehearsal ?? '');
