/**
 * In and out points that can be drawn along the waveform, by finger, mouse or arrow keys. The fields beside it say the
 * same in seconds, and are what is sent; without script they are all there is.
 */
export function watchWave(figure: HTMLElement, form: HTMLFormElement): void {
  const seconds = Number(figure.dataset.seconds);
  const svg = figure.querySelector('svg');
  const shade = figure.querySelector<SVGRectElement>('[data-wave-cut]');
  if (!svg || !shade || !(seconds > 0)) return;
  const width = svg.viewBox.baseVal.width;
  const stage = document.createElement('div');
  stage.className = 'wave-stage';
  svg.replaceWith(stage);
  stage.append(svg);

  const edges = (['from', 'to'] as const).map((name) => {
    const field = form.querySelector<HTMLInputElement>(`[name="${name}"]`);
    const line = figure.querySelector<SVGLineElement>(`[data-wave-${name}]`);
    const handle = document.createElement('div');
    handle.className = 'wave-handle';
    handle.tabIndex = 0;
    handle.setAttribute('role', 'slider');
    handle.setAttribute('aria-label', name === 'from' ? 'In point' : 'Out point');
    handle.setAttribute('aria-valuemin', '0');
    handle.setAttribute('aria-valuemax', seconds.toFixed(3));
    stage.append(handle);
    return { name, field, line, handle };
  });
  const typed = (name: 'from' | 'to'): number => {
    const value = Number(edges.find((edge) => edge.name === name)?.field?.value.replace(',', '.'));
    return Number.isFinite(value) ? Math.min(seconds, Math.max(0, value)) : 0;
  };

  const draw = () => {
    const [from, to] = [typed('from'), typed('to')];
    for (const { name, line, handle } of edges) {
      const at = name === 'from' ? from : to;
      const x = ((at / seconds) * width).toFixed(1);
      line?.setAttribute('x1', x);
      line?.setAttribute('x2', x);
      handle.style.left = `${(at / seconds) * 100}%`;
      handle.setAttribute('aria-valuenow', at.toFixed(3));
      handle.setAttribute('aria-valuetext', `${at.toFixed(2)} seconds`);
    }
    shade.setAttribute('x', ((from / seconds) * width).toFixed(1));
    shade.setAttribute('width', ((Math.max(0, to - from) / seconds) * width).toFixed(1));
  };

  const put = (name: 'from' | 'to', value: number) => {
    const field = edges.find((edge) => edge.name === name)?.field;
    if (!field) return;
    // Neither passes the other.
    const [low, high] = name === 'from' ? [0, typed('to')] : [typed('from'), seconds];
    field.value = String(Number(Math.min(high, Math.max(low, value)).toFixed(3)));
    draw();
  };

  for (const { name, field, handle } of edges) {
    field?.addEventListener('input', draw);
    handle.addEventListener('keydown', (event) => {
      const steps: Partial<Record<string, number>> = {
        ...{ ArrowLeft: -0.05, ArrowDown: -0.05, ArrowRight: 0.05, ArrowUp: 0.05 },
        ...{ PageDown: -1, PageUp: 1, Home: -seconds, End: seconds },
      };
      const step = steps[event.key];
      if (step === undefined) return;
      event.preventDefault();
      put(name, typed(name) + step);
    });
    handle.addEventListener('pointerdown', (event) => {
      event.preventDefault();
      handle.setPointerCapture(event.pointerId);
      handle.focus();
    });
    handle.addEventListener('pointermove', (event) => {
      if (!handle.hasPointerCapture(event.pointerId)) return;
      const box = stage.getBoundingClientRect();
      put(name, ((event.clientX - box.left) / box.width) * seconds);
    });
  }
  draw();
}
