import * as Plot from '@observablehq/plot';
import type { Plan } from '../../shared/plan';
import { draw } from '../chart';
import { chosenPercent } from '../number-words';
import { powerLaw } from './power-at';

/** Units of the picture; it is shown as wide as the column beside the plan. */
const width = 320;

const axes: Record<Plan['risks']['smallest']['kind'], string> = {
  heard: 'truly heard, share of trials',
  share: 'share for the one that is liked better',
  points: 'points apart',
  ticked: 'ticked by so many more, share of listeners',
  'd-prime': 'distance to the ear, d′',
};

/** The chance to show it over how large the effect truly is, of the smallest audience. */
export function powerPicture(plan: Plan): { svg: string; caption: string } | null {
  const law = powerLaw(plan);
  const { smallest, beta, alpha } = plan.risks;
  const [audience] = [...plan.audiences].sort((a, b) => a.listeners - b.listeners);
  if (!audience) return null;
  const end = law.falls
    ? smallest.value
    : Math.min(law.most, Math.max(law.none + (law.most - law.none) * 0.6, smallest.value * 1.3));
  // What is simulated is drawn through the points that the table tells.
  const effects = law.exact
    ? Array.from({ length: 41 }, (_, i) => law.none + ((end - law.none) * i) / 40)
    : [...new Set([...(law.points ?? []), smallest.value])].sort((a, b) => a - b);
  const curve = effects.map((effect) => ({ effect, power: law.at(audience.listeners, effect) }));
  const wanted = law.falls ? 1 - alpha : 1 - beta;
  const mark = {
    effect: law.falls ? 0 : smallest.value,
    power: law.at(audience.listeners, law.falls ? 0 : smallest.value),
  };
  // The words stand where the curve isn't: beside its foot, and where it rises at once, under its far end.
  const risesAt = curve.findIndex(({ power }) => power >= wanted);
  const atEnd = law.falls || (risesAt >= 0 && (curve[risesAt]?.effect ?? end) < law.none + (end - law.none) * 0.45);
  const percent = smallest.kind === 'heard' || smallest.kind === 'share' || smallest.kind === 'ticked';
  const what = law.falls ? 'Chance to show sameness' : 'Chance to show it';
  const svg = draw(
    `${what}, by how large the difference truly is`,
    {
      height: 190,
      marginLeft: 44,
      marginRight: 16,
      marginTop: 20,
      marginBottom: 42,
      x: {
        label: axes[smallest.kind],
        labelAnchor: 'center',
        labelArrow: 'none',
        ticks: 5,
        ...(percent ? { tickFormat: '.0%' } : {}),
      },
      y: { domain: [0, 1], label: null, ticks: [0, 0.5, 1], tickFormat: '.0%' },
      marks: [
        Plot.ruleY([wanted], { className: 'chart-zero' }),
        Plot.text([`wanted: ${chosenPercent(wanted)}`], {
          x: atEnd ? end : law.none,
          y: wanted,
          textAnchor: atEnd ? 'end' : 'start',
          dx: atEnd ? 0 : 4,
          dy: atEnd && !law.falls ? 9 : -8,
          className: 'chart-note',
        }),
        Plot.line(curve, { x: 'effect', y: 'power', strokeWidth: 2, className: 'chart-power', curve: 'monotone-x' }),
        Plot.dot([mark], {
          x: 'effect',
          y: 'power',
          r: 5,
          fill: 'currentColor',
          stroke: 'none',
          className: 'chart-power-mark',
        }),
      ],
    } as Plot.PlotOptions,
    width,
  );
  const of = plan.audiences.length > 1 ? ` Of ${audience.name}, the smallest audience.` : '';
  return { svg, caption: `${what}, by how large the difference truly is.${of}` };
}
