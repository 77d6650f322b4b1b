import { watchWave } from './wave';

/** Comfort for the page of sound: progress of what is sent, points along the waveform, a word while matching goes on. */
export function watchSound(page: HTMLElement): void {
  for (const form of page.querySelectorAll<HTMLFormElement>('[data-upload]')) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      send(form);
    });
  }
  for (const figure of page.querySelectorAll<HTMLElement>('[data-wave]')) {
    const form = figure.parentElement?.querySelector<HTMLFormElement>('[data-cut]');
    if (form) watchWave(figure, form);
  }
}

export function watchMatch(form: HTMLFormElement): void {
  form.addEventListener('submit', (event) => {
    if (form.getAttribute('aria-busy') === 'true') return event.preventDefault();
    form.setAttribute('aria-busy', 'true');
    const says = form.querySelector<HTMLElement>('[data-match-says]');
    if (says) says.hidden = false;
  });
}

/** Sends the file with progress. Fetch tells none of what goes out, so this is the older way. */
function send(form: HTMLFormElement): void {
  const says = form.querySelector<HTMLElement>('[data-upload-says]');
  const bar = form.querySelector<HTMLProgressElement>('[data-upload-bar]');
  const button = form.querySelector('button');
  const say = (words: string) => {
    if (!says) return;
    says.textContent = words;
    says.hidden = false;
  };
  const over = (words: string) => {
    if (bar) bar.hidden = true;
    if (button) button.disabled = false;
    say(words);
  };
  const request = new XMLHttpRequest();
  request.open('POST', form.action);
  request.setRequestHeader('accept', 'application/json');
  request.upload.addEventListener('progress', ({ loaded, total }) => {
    if (bar) bar.value = (loaded / total) * 100;
    if (loaded >= total) say('Sent. It is being read and measured.');
  });
  request.addEventListener('load', () => {
    if (request.status < 400) {
      const { pathname } = new URL(form.action.replace(/\/upload$/, ''));
      window.location.assign(`${pathname}?done=file`);
    } else over(refusalIn(request.responseText));
  });
  request.addEventListener('error', () => over('This did not reach the server. Send it again.'));
  if (bar) {
    bar.value = 0;
    bar.hidden = false;
  }
  if (button) button.disabled = true;
  say('Sending.');
  request.send(new FormData(form));
}

function refusalIn(body: string): string {
  try {
    const { error } = JSON.parse(body) as { error?: { message?: string } };
    if (error?.message) return error.message;
  } catch {
    // Said below.
  }
  return 'The server did not take this file. Reload the page and send it again.';
}
