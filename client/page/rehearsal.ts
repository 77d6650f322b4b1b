const pauseMs = 700;

/** Says what a rehearsal is doing, and shows its letter once it is over. Each change is spoken once. */
export function watchRehearsal(holder: HTMLElement, url: string): void {
  const show = (html: string): boolean => {
    const part = new DOMParser().parseFromString(html, 'text/html').querySelector<HTMLElement>('[data-playing]');
    if (part?.dataset.playing !== 'yes') return false;
    for (const selector of ['.rehearsing-now', '.rehearsing-count']) {
      const [now, next] = [holder.querySelector(selector), part.querySelector(selector)];
      if (now && next && now.textContent !== next.textContent) now.textContent = next.textContent;
    }
    const [bar, next] = [holder.querySelector('progress'), part.querySelector('progress')];
    if (bar && next?.hasAttribute('value')) {
      bar.max = next.max;
      bar.value = next.value;
    }
    return true;
  };

  const ask = async (): Promise<void> => {
    try {
      const reply = await fetch(url, { headers: { accept: 'text/html', 'x-part': '1' } });
      if (reply.ok && !reply.redirected && !show(await reply.text())) {
        location.reload();
        return;
      }
    } catch {
      // The server doesn't answer just now; the next time tells.
    }
    setTimeout(() => void ask(), pauseMs);
  };
  setTimeout(() => void ask(), pauseMs);
}
