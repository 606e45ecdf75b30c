/** A photo as this phone took it becomes a small JPEG before it is kept: a picture of ten megabytes fills a phone. */

export const LONGEST_PX = 1600;
const MOST_BYTES = 1_500_000;
const QUALITIES = [0.82, 0.7, 0.55];

/** How large a picture is drawn: within the limit, never larger than it is. */
export function shrunkSize(width: number, height: number): { width: number; height: number } {
  const scale = Math.min(1, LONGEST_PX / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

function jpeg(canvas: HTMLCanvasElement, quality: number): Promise<Blob | null> {
  return new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', quality));
}

/** Draws a file anew, upright and small; null when this browser cannot read it as a picture. */
export async function shrunk(file: Blob): Promise<ArrayBuffer | null> {
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
  } catch {
    return null;
  }
  const canvas = document.createElement('canvas');
  Object.assign(canvas, shrunkSize(picture.width, picture.height));
  const brush = canvas.getContext('2d');
  if (!brush) return null;
  // A clear ground would turn black in a JPEG.
  brush.fillStyle = 'white';
  brush.fillRect(0, 0, canvas.width, canvas.height);
  brush.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  for (const quality of QUALITIES) {
    const made = await jpeg(canvas, quality);
    if (made && (made.size <= MOST_BYTES || quality === QUALITIES.at(-1))) return made.arrayBuffer();
  }
  return null;
}
