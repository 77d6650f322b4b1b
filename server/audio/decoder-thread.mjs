// Runs one of the decoders, which are WebAssembly from packages, in a thread of its own. Plain JavaScript, so that Node
// can start it from where it lies, whether the server was bundled or not. See decoder.ts for why a thread.
import { parentPort, workerData } from 'node:worker_threads';

const decoders = {
  async mp3() {
    const { MPEGDecoder } = await import('mpg123-decoder');
    // Delay and padding are taken off by mp3.ts, which counts every frame and knows what the first says of them.
    const decoder = new MPEGDecoder({ enableGapless: false });
    await decoder.ready;
    return {
      decode: (parts) => parts.map((part) => decoder.decode(part)),
      flush: () => [],
      free: () => decoder.free(),
    };
  },
  async flac() {
    const { FLACDecoder } = await import('@wasm-audio-decoders/flac');
    const decoder = new FLACDecoder();
    await decoder.ready;
    return {
      decode: async (parts) => [await decoder.decodeFrames(parts)],
      flush: () => [],
      free: () => decoder.free(),
    };
  },
  async vorbis() {
    const { OggVorbisDecoder } = await import('@wasm-audio-decoders/ogg-vorbis');
    return await ofPages(new OggVorbisDecoder());
  },
  async opus() {
    const { OggOpusDecoder } = await import('ogg-opus-decoder');
    return await ofPages(new OggOpusDecoder({ sampleRate: 48000 }));
  },
};

async function ofPages(decoder) {
  await decoder.ready;
  return {
    async decode(parts) {
      const decoded = [];
      for (const part of parts) decoded.push(await decoder.decode(part));
      return decoded;
    },
    flush: async () => [await decoder.flush()],
    free: () => decoder.free(),
  };
}

const decoder = await decoders[workerData]();
parentPort.postMessage('ready');
parentPort.on('message', async (parts) => {
  if (parts === 'free') {
    try {
      decoder.free();
    } finally {
      parentPort.close();
    }
    return;
  }
  try {
    const decoded = parts === 'flush' ? await decoder.flush() : await decoder.decode(parts);
    const pieces = decoded.filter((one) => one.samplesDecoded > 0).map((one) => one.channelData);
    const failed = decoded.some((one) => one.errors.length > 0);
    // Handed over, not copied. Channels may lie in one buffer, which is handed over once.
    const buffers = new Set(pieces.flat().map((channel) => channel.buffer));
    parentPort.postMessage({ pieces, failed }, [...buffers]);
  } catch {
    parentPort.postMessage({ pieces: [], failed: true });
  }
});
