/** The camera, with each of its refusals as words. */

export interface CameraTrouble {
  trouble: 'refused' | 'no_camera' | 'busy' | 'not_secure' | 'unsupported';
  /** One sentence: what is wrong and what to do. Typing the code always works. */
  words: string;
}

export interface Camera {
  stop(): void;
  torch: { is_on: boolean; set(on: boolean): Promise<void> } | null;
}

const WORDS: Record<CameraTrouble['trouble'], string> = {
  refused: 'The camera is not allowed for this site. Allow it in the browser’s settings, or type the code.',
  no_camera: 'No camera was found. Type the code under the picture on the tag.',
  busy: 'Another app holds the camera. Close it and try again, or type the code.',
  not_secure: 'The camera works only over a secure address (https). Type the code.',
  unsupported: 'This browser cannot use the camera. Type the code.',
};

function trouble(kind: CameraTrouble['trouble']): CameraTrouble {
  return { trouble: kind, words: WORDS[kind] };
}

/** Says which trouble an error of the camera is. */
export function cameraTrouble(error: unknown): CameraTrouble {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  if (name === 'NotAllowedError' || name === 'SecurityError') return trouble('refused');
  if (name === 'NotFoundError' || name === 'OverconstrainedError') return trouble('no_camera');
  if (name === 'NotReadableError' || name === 'AbortError') return trouble('busy');
  return trouble('unsupported');
}

function torchOf(stream: MediaStream): Camera['torch'] {
  const track = stream.getVideoTracks()[0];
  const can = track?.getCapabilities?.() as { torch?: boolean } | undefined;
  if (!track || !can?.torch) return null;
  const torch = {
    is_on: false,
    async set(on: boolean): Promise<void> {
      await track.applyConstraints({ advanced: [{ torch: on } as MediaTrackConstraintSet] });
      torch.is_on = on;
    },
  };
  return torch;
}

/** Opens the camera that looks away from the person and shows it in `video`. */
export async function openCamera(video: HTMLVideoElement): Promise<Camera | CameraTrouble> {
  if (!globalThis.isSecureContext) return trouble('not_secure');
  if (!navigator.mediaDevices?.getUserMedia) return trouble('unsupported');
  let stream: MediaStream | null = null;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      audio: false,
      video: { facingMode: { ideal: 'environment' }, width: { ideal: 1280 }, height: { ideal: 960 } },
    });
    video.srcObject = stream;
    video.muted = true;
    video.playsInline = true;
    await video.play();
  } catch (error) {
    for (const track of stream?.getTracks() ?? []) track.stop();
    return cameraTrouble(error);
  }
  const opened = stream;
  return {
    torch: torchOf(opened),
    stop() {
      for (const track of opened.getTracks()) track.stop();
      video.srcObject = null;
    },
  };
}
