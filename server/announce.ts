import QRCode from 'qrcode';
import { lanAddresses } from './lan';

export interface Place {
  /** The address for this machine itself. */
  here: string;
  /** Addresses for others on the local network, the likeliest first. */
  network: string[];
  /** The address that goes into links and QR codes. */
  shown: string;
}

/** Where a server that listens on this host and port can be reached. */
export function placeOf({
  host,
  port,
  secure,
  publicUrl,
  lan = lanAddresses().map(({ address }) => address),
}: {
  host: string;
  port: number;
  secure: boolean;
  publicUrl?: string | undefined;
  lan?: string[];
}): Place {
  const url = (name: string) => `${secure ? 'https' : 'http'}://${name.includes(':') ? `[${name}]` : name}:${port}`;
  const everywhere = host === '0.0.0.0' || host === '::';
  const onlyHere = host === 'localhost' || host === '::1' || host.startsWith('127.');
  const here = url(everywhere ? 'localhost' : host);
  const network = onlyHere ? [] : everywhere ? lan.map(url) : [here];
  return { here, network, shown: publicUrl ?? network[0] ?? here };
}

/** What a person at the terminal reads when the server has started. */
export async function announcement(
  place: Place,
  {
    colours,
    firstCode,
    data,
    publicUrl,
  }: { colours: boolean; firstCode: string | null; data: string; publicUrl?: string | undefined },
): Promise<string> {
  const lines = ['Fair Hearing is running.', '', `  On this machine   ${place.here}`];
  if (publicUrl !== undefined) lines.push(`  For phones        ${publicUrl}`);
  for (const [index, url] of place.network.entries()) {
    lines.push(`  ${index === 0 ? 'On this network   ' : '                  '}${url}`);
  }
  lines.push(`  Data in           ${data}`);
  if (place.shown === place.here && place.network.length === 0) {
    lines.push('', '  No phone can reach it there: for phones, listen on the network with --host 0.0.0.0.');
  }
  if (place.shown !== place.here || place.network.length > 0) lines.push('', ...(await qrLines(place.shown, colours)));
  if (firstCode !== null) {
    lines.push(
      '',
      '  Nobody has an account yet. Make the first one with this code, good once:',
      '',
      `    ${firstCode}      ${place.shown}/account/first`,
    );
  }
  return `${lines.join('\n')}\n\n`;
}

/** Black on white whatever the terminal's own colours: not every phone reads a light code on a dark ground. */
async function qrLines(text: string, colours: boolean): Promise<string[]> {
  const drawn = await QRCode.toString(text, { type: 'utf8', errorCorrectionLevel: 'L', margin: 2 });
  const lines = drawn.split('\n').filter((line) => line !== '');
  return lines.map((line) => (colours ? `  \u001b[107;30m${line}\u001b[0m` : `  ${line}`));
}
