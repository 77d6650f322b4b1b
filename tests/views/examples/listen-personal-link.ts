import { create } from 'qrcode';
import type { PersonalLinkPage } from '../../../server/listen/view-models';
import { csrf, token } from './branded';
import type { ViewExamples } from './examples';

/** A QR code without any style of its own, as the server is to send it: one path, black on nothing. */
function qr(text: string): string {
  const { size, data } = create(text, { errorCorrectionLevel: 'M' }).modules;
  const squares = [...data].map((on, i) => (on ? `M${i % size} ${Math.floor(i / size)}h1v1h-1z` : '')).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${size} ${size}" shape-rendering="crispEdges"><path fill="#000" d="${squares}"/></svg>`;
}

function page(link: string): PersonalLinkPage {
  return { title: 'Your own link', csrf, problems: [], link, qrSvg: qr(link) };
}

export default {
  view: 'listen/personal-link',
  layout: 'phone',
  examples: [
    { name: 'usual', model: page(`http://192.168.4.20:8080/me/${token}`) },
    {
      name: 'long-link',
      model: page(`https://a-laptop-with-a-rather-long-name.rehearsal-room.example:8443/me/${token}`),
    },
  ],
} satisfies ViewExamples;
