interface LastPress {
  at: number;
  target: EventTarget | null;
  x: number;
  y: number;
}

const WAIT_MS = 400;
const NEAR_PX = 40;

let last: LastPress | undefined;

/**
 * Wraps an act so that a second tap within 400 ms is ignored, as wet glass and gloves make them: on the same control,
 * or on whatever took its place under the finger.
 */
export function once(act: (() => void) | undefined): (event: MouseEvent) => void {
  return (event) => {
    const now: LastPress = {
      at: event.timeStamp,
      target: event.currentTarget,
      x: event.clientX,
      y: event.clientY,
    };
    const isEcho =
      last !== undefined && now.at >= last.at && now.at - last.at < WAIT_MS && isSamePlace(last, now);
    if (isEcho) {
      event.preventDefault();
      return;
    }
    last = now;
    act?.();
  };
}

function isSamePlace(a: LastPress, b: LastPress): boolean {
  if (a.target === b.target) return true;
  // A key press has no place.
  if ((a.x === 0 && a.y === 0) || (b.x === 0 && b.y === 0)) return false;
  return Math.hypot(a.x - b.x, a.y - b.y) < NEAR_PX;
}
