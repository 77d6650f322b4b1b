const pauseMs = 700;
/** In this tab, the rehearsal that the server had forgotten, so that the page was loaded anew. */
const memory = 'fair-hearing-rehearsal-gone';

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

  const again = () => setTimeout(() => void ask(), pauseMs);

  const ask = async (): Promise<void> => {
    const reply = await fetch(url, { headers: { accept: 'text/html', 'x-part': '1' } }).catch(() => null);
    const html = await reply?.text().catch(() => null);
    if (reply?.status === 404) {
      // Forgotten, as after a restart of the server: the page offers to begin anew. If it doesn't, that is that.
      if (!isRemembered(url)) location.reload();
    } else if (reply && (reply.redirected || reply.status === 401)) {
      // Signed out.
      location.reload();
    } else if (!reply?.ok || html == null) {
      // The server doesn't answer just now; the next time tells.
      again();
    } else {
      forget();
      if (show(html)) again();
      else location.reload();
    }
  };
  again();
}

/** Whether the page was loaded anew for this already. If not it is about to be, and that is kept. */
function isRemembered(url: string): boolean {
  try {
    if (sessionStorage.getItem(memory) === url) return true;
    sessionStorage.setItem(memory, url);
    return false;
  } catch {
    // Without a memory it is better to stand still than to go round in circles.
    return true;
  }
}

function forget(): void {
  try {
    sessionStorage.removeItem(memory);
  } catch {
    // Then nothing was kept either.
  }
}
