import { afterEach, describe, expect, test, vi } from 'vitest';
import { cameraTrouble, openCamera } from '~/scan/camera.ts';
import { openScanner } from '~/scan/decoder.ts';

afterEach(() => vi.unstubAllGlobals());

function stubCamera(getUserMedia: () => Promise<unknown>): void {
  vi.stubGlobal('isSecureContext', true);
  vi.stubGlobal('navigator', { mediaDevices: { getUserMedia } });
}

function videoElement(): HTMLVideoElement {
  const video = document.createElement('video');
  Object.defineProperties(video, {
    play: { value: async () => undefined, configurable: true },
    readyState: { value: 4 },
    srcObject: { value: null, writable: true },
  });
  return video;
}

describe('the camera', () => {
  test.each([
    ['NotAllowedError', 'refused', 'Allow it'],
    ['NotFoundError', 'no_camera', 'No camera'],
    ['NotReadableError', 'busy', 'Another app'],
    ['TypeError', 'unsupported', 'cannot use'],
  ])('it says %s in words, and how to go on without it', (name, trouble, words) => {
    const told = cameraTrouble(new DOMException('x', name));
    expect(told.trouble).toBe(trouble);
    expect(told.words).toContain(words);
    expect(told.words).toMatch(/[Tt]ype the code/);
  });

  test('it says that a plain http address has no camera', async () => {
    vi.stubGlobal('isSecureContext', false);
    expect(await openCamera(videoElement())).toMatchObject({ trouble: 'not_secure' });
  });

  test('it lets the camera go when the picture cannot be shown', async () => {
    const stop = vi.fn();
    stubCamera(async () => ({ getTracks: () => [{ stop }], getVideoTracks: () => [] }));
    const video = videoElement();
    Object.defineProperty(video, 'play', {
      value: () => Promise.reject(new DOMException('x', 'AbortError')),
    });
    expect(await openCamera(video)).toMatchObject({ trouble: 'busy' });
    expect(stop).toHaveBeenCalledOnce();
  });
});

describe('the scanner with the browser’s own detector', () => {
  test('it tells each tag once, says what is foreign, and lets the camera go', async () => {
    const stop = vi.fn();
    stubCamera(async () => ({ getTracks: () => [{ stop }], getVideoTracks: () => [] }));
    const inView = ['https://cellar.example/t/A12B3X', 'https://elsewhere.example/menu'];
    vi.stubGlobal(
      'BarcodeDetector',
      class {
        static getSupportedFormats = async () => ['qr_code'];
        detect = async () => inView.map((rawValue) => ({ rawValue }));
      },
    );
    const { checkCharacter } = await import('~/science/tag.ts');
    inView[0] = `https://cellar.example/t/A22B3${checkCharacter('A22B3')}`;
    const codes: string[] = [];
    const foreign: string[] = [];
    const scanner = await openScanner(videoElement(), {
      onCode: (code) => codes.push(code),
      onForeign: (text) => foreign.push(text),
    });
    if ('trouble' in scanner) expect.unreachable(scanner.words);
    else {
      await vi.waitFor(() => expect(foreign).toHaveLength(1));
      await new Promise((resolve) => setTimeout(resolve, 400));
      expect(codes).toEqual([`A22B3${checkCharacter('A22B3')}`]);
      expect(foreign).toEqual(['https://elsewhere.example/menu']);
      scanner.stop();
      expect(stop).toHaveBeenCalledOnce();
    }
  });

  test('it says why when there is no camera', async () => {
    stubCamera(() => Promise.reject(new DOMException('x', 'NotFoundError')));
    vi.stubGlobal(
      'BarcodeDetector',
      class {
        static getSupportedFormats = async () => ['qr_code'];
        detect = async () => [];
      },
    );
    expect(await openScanner(videoElement(), { onCode: () => undefined })).toMatchObject({
      trouble: 'no_camera',
    });
  });
});
