import { create } from 'qrcode';
import type { PersonalLinkPage } from '../../../server/listen/view-models';
import type { ViewExamples } from './examples';

/** A QR code without any style of its own, as the server is to send it: one path, black on nothing. */
function qr(text: string): string {
  const { size, data } = create(text, { errorCorrectionLevel: 'M' }).modules;
  const squares = [...data].map((on, i) => (on ? `M${i % size} ${Math.floor(i / size)}h1v1h-1z` : '')).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${size} ${size}" shape-rendering="crispEdges"><path d="${squares}"/></svg>`;
}

function page(link: string): PersonalLinkPage {
  return { title: 'Your own link', csrf: 'csrf-example', problems: [], link, qrSvg: qr(link) };
}

export default {
  view: 'listen/personal-link',
  layout: 'phone',
  examples: [
    { name: 'usual', model: page('http://192.168.4.20:8080/l/q3v9k2m7x4t8b6n1z5r0d2f7h9') },
    {
      name: 'long-link',
      model: page(`https://a-laptop-with-a-rather-long-name.rehearsal-room.example:8443/l/${'q3v9k2m7x4'.repeat(5)}`),
    },
  ],
} satisfies ViewExamples;
