/**
 * Reads a tag through the camera, with no signal: by the browser's own detector where there is one, else by a
 * WebAssembly decoder that the worker keeps on the phone. Imported late: it is heavy, and only Scan needs it.
 */

import { tagFromText } from '../science/tag.ts';
import { type CameraTrouble, openCamera } from './camera.ts';

export type { CameraTrouble } from './camera.ts';

/** Reads the QR codes that a frame shows. */
export type ReadFrame = (frame: HTMLVideoElement) => Promise<string[]>;

export interface Scanner {
  stop(): void;
  /** Present where the phone has a lamp. */
  torch: { is_on: boolean; set(on: boolean): Promise<void> } | null;
}

export interface ScanEvents {
  /** A tag of a club, its check character right. Called once for each code in view. */
  onCode(code: string): void;
  /** A QR code that is no tag, with the sentence to show. */
  onForeign?(text: string, detail: string): void;
}

interface NativeDetector {
  detect(source: HTMLVideoElement): Promise<{ rawValue: string }[]>;
}
interface NativeDetectorClass {
  new (options: { formats: string[] }): NativeDetector;
  getSupportedFormats(): Promise<string[]>;
}

/** About eight looks a second: quick to the hand, easy on the battery. */
const LOOK_EVERY_MS = 120;
/** A code that stays in view is told again only after it was gone for so long. */
const SAME_CODE_MS = 3_000;
/** Enough for a tag at arm's length; a larger frame only costs time. */
const LONG_SIDE_PX = 960;

async function nativeReader(): Promise<ReadFrame | null> {
  const Detector = (globalThis as { BarcodeDetector?: NativeDetectorClass }).BarcodeDetector;
  if (!Detector) return null;
  try {
    if (!(await Detector.getSupportedFormats()).includes('qr_code')) return null;
    const detector = new Detector({ formats: ['qr_code'] });
    return async (frame) => (await detector.detect(frame)).map((found) => found.rawValue);
  } catch {
    return null;
  }
}

async function wasmReader(): Promise<ReadFrame> {
  const [{ prepareZXingModule, readBarcodes }, { default: wasm }] = await Promise.all([
    import('zxing-wasm/reader'),
    import('zxing-wasm/reader/zxing_reader.wasm?url'),
  ]);
  // Its own default is a public host; ours is a file of this app.
  await prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) => (path.endsWith('.wasm') ? wasm : prefix + path),
    },
    fireImmediately: true,
  });
  const canvas = document.createElement('canvas');
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  return async (frame) => {
    const scale = Math.min(1, LONG_SIDE_PX / Math.max(frame.videoWidth, frame.videoHeight));
    canvas.width = Math.round(frame.videoWidth * scale);
    canvas.height = Math.round(frame.videoHeight * scale);
    if (!pen || canvas.width === 0) return [];
    pen.drawImage(frame, 0, 0, canvas.width, canvas.height);
    const image = pen.getImageData(0, 0, canvas.width, canvas.height);
    const found = await readBarcodes(image, { formats: ['QRCode'], tryHarder: true, maxNumberOfSymbols: 2 });
    return found.filter((one) => one.isValid).map((one) => one.text);
  };
}

/** Picks the decoder of this browser. */
export async function frameReader(): Promise<ReadFrame> {
  return (await nativeReader()) ?? (await wasmReader());
}

/** Shows the camera in `video` and looks for tags until it is stopped. */
export async function openScanner(
  video: HTMLVideoElement,
  events: ScanEvents,
): Promise<Scanner | CameraTrouble> {
  const [camera, read] = await Promise.all([openCamera(video), frameReader().catch(() => null)]);
  if ('trouble' in camera) return camera;
  if (!read) {
    camera.stop();
    return {
      trouble: 'unsupported',
      words:
        'This phone has not yet got the part that reads tags. Type the code, or open Scan once with signal.',
    };
  }
  let isStopped = false;
  const told = new Map<string, number>();

  const tell = (text: string): void => {
    const now_ms = Date.now();
    const isNews = now_ms - (told.get(text) ?? Number.NEGATIVE_INFINITY) > SAME_CODE_MS;
    told.set(text, now_ms);
    if (!isNews) return;
    const tag = tagFromText(text);
    if (tag.ok) events.onCode(tag.code);
    else events.onForeign?.(text, tag.detail);
  };

  const look = async (): Promise<void> => {
    while (!isStopped) {
      if (video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA && document.visibilityState === 'visible') {
        const found = await read(video).catch(() => []);
        if (isStopped) return;
        for (const text of found) tell(text);
      }
      await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
    }
  };
  void look();

  return {
    torch: camera.torch,
    stop() {
      isStopped = true;
      camera.stop();
    },
  };
}
