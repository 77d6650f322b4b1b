import QRCode from 'qrcode';

/** A QR code as SVG, drawn in the colour of the text around it. */
export async function qrSvg(text: string): Promise<string> {
  return QRCode.toString(text, { type: 'svg', margin: 2, errorCorrectionLevel: 'M' });
}
