import type { Arrival } from '../../server/demo/browser';

/** What must not be readable from outside while a study runs, and who looks for it. */

/** Every place in the traffic where one of the secrets stands, in plain, in hexadecimal or in base64. */
export function leaks(traffic: readonly Arrival[], secrets: readonly string[]): string[] {
  const forms = secrets.flatMap((secret) => {
    const bytes = Buffer.from(secret);
    // The first and last letters hang on what stands around them.
    const base64 = [0, 1, 2].map((shift) =>
      Buffer.concat([Buffer.alloc(shift), bytes])
        .toString('base64')
        .slice(4, -4)
        .toLowerCase(),
    );
    const forms = [secret, encodeURIComponent(secret), bytes.toString('hex'), [...secret].reverse().join('')];
    return [...forms.map((form) => form.toLowerCase()), ...base64.filter((form) => form.length >= 8)].map((form) => ({
      secret,
      form,
    }));
  });
  return traffic.flatMap(({ to, of, headers, body }) => {
    // Codes are written digit by digit, with thin spaces between.
    const text = `${of}\n${headers}\n${body}`.replaceAll('\u2009', '').toLowerCase();
    const found = forms.find(({ form }) => text.includes(form));
    return found ? [`${to}: ${of}: ${found.secret}`] : [];
  });
}

/** What a message about samples is about, and the message with all taken out that may differ. */
interface AboutSample {
  group: string;
  /** Null where the page shows none: the third sample of an ABX with day codes. */
  code: string | null;
  to: string;
  trial: string;
  text: string;
}

/**
 * Messages about samples that a listener waits for, has, or is asked about, grouped by what may rightly make them
 * differ: the way they came, the kind of place, the presentation, practice, and where seat or scales are shown the
 * listener. Within a group nothing but codes and the trial may differ.
 */
export function aboutSamples(traffic: readonly Arrival[]): AboutSample[] {
  return traffic.flatMap(({ to, of, headers, body }) => {
    const text = body.replaceAll('\\"', '"').replaceAll('\\n', '\n');
    const kind = /data-kind="(waiting|resetting|fitting|starting|listening|rating|grading|asking|words|guessing)"/.exec(
      text,
    )?.[1];
    if (!kind) return [];
    const codes = [...text.matchAll(/<(?:span|label) class="code[^>]*>(\d(?:\u2009\d){2})</g)].map(
      ([, code = '']) => code,
    );
    const presentation = /name="presentation" value="(\d+)"/.exec(text)?.[1] ?? '';
    const trial = /name="trial" value="([^"]+)"/.exec(text)?.[1] ?? '';
    const practice = />Practice(?:<| )/.test(text);
    // Which of the trial's samples is waited for, and whether one is still to be given back.
    const waitsFor =
      kind === 'waiting' ? (/<h1[^>]*>([^<]*)<[\s\S]*?<p>([^<]*)</.exec(text)?.slice(1).join(' ') ?? '') : '';
    // The first sample of a sitting is fitted with other words, whichever it is.
    const begins = kind === 'fitting' && /class="progress">1 of /.test(text);
    // An act that came too late, after a mix-up, is refused with the place beside it.
    const refused = /"ok":false,"error":.*?(?="place")/.exec(text)?.[0] ?? '';
    const way = of === 'socket' ? (/^(?:\d+\/listen,)?\d*(\["place"|\[\{)/.exec(body)?.[1] ?? 'socket') : of;
    // The order of scales is a listener's own, the same over all samples.
    const scales = /name="(?:scale|grade|tick)_/.test(text);
    // Graded at the ear, or all once more.
    const step = /data-at="(\w+)"/.exec(text)?.[1] ?? '';
    const neutral = codes
      .reduce(
        (all, code) =>
          all
            .replaceAll(code, '# # #')
            .replace(new RegExp(`(?<=value=\\\\?"|words_)${code.replaceAll('\u2009', '')}(?!\\d)`, 'g'), '###'),
        `${headers}\n${body}`,
      )
      .replaceAll(trial, 'T'.repeat(trial.length))
      .replace(/^date: .*$/m, 'date')
      // Answers stand in an order that is drawn, with their number in the order of listening beside the code.
      .replace(/(?<=class=\\?"note\\?">)the (?:first|second)/g, 'the #')
      .replace(/\d+ of \d+/g, '# of #')
      .replace(/(?<="version\\?":|data-version="|name=\\?"version\\?" value=\\?")\d+/g, 'V')
      .replace(/(?<=name=\\?"_?csrf\\?" (?:value|content)=\\?")[^"\\]+/g, (token) => 'C'.repeat(token.length))
      .replace(/(?<=data-listener=")[^"]+/g, 'L')
      // The number under which a socket awaits the acknowledgement.
      .replace(/^(\d+\/listen,)\d+/m, '$1#');
    return [
      {
        group: [
          way + refused,
          `${kind} ${step}`.trim(),
          presentation,
          practice ? 'practice' : begins ? 'first' : 'scored',
          ...(scales || kind === 'waiting' ? [waitsFor, to] : []),
        ].join(' '),
        code: codes[0]?.replaceAll('\u2009', '') ?? null,
        to,
        trial,
        text: neutral,
      },
    ];
  });
}

/** Groups in which two samples could be told apart by their messages, apart from the code. */
export function distinguishable(traffic: readonly Arrival[]): string[] {
  const first = new Map<string, AboutSample>();
  const found: string[] = [];
  for (const message of aboutSamples(traffic)) {
    const before = first.get(message.group);
    if (!before) first.set(message.group, message);
    else if (before.text !== message.text) {
      found.push(`${message.group}: ${before.code} and ${message.code}`);
    }
  }
  return found;
}
