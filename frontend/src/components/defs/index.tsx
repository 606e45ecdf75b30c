import './style.css';

/** The gradients and hatchings that all pictures share. Stands once in the app. */
export function Defs() {
  return (
    <svg class="defs" width="0" height="0" aria-hidden="true" focusable="false">
      <defs>
        <linearGradient id="spirit-g" x1="0" y1="0" x2="0" y2="1">
          <stop offset="0" stop-color="var(--spirit-top)" />
          <stop offset="1" stop-color="var(--spirit-deep)" />
        </linearGradient>
        <linearGradient id="pale-g" x1="0" y1="0" x2="0" y2="1">
          <stop offset="0" stop-color="var(--pale-top)" />
          <stop offset="1" stop-color="var(--pale-deep)" />
        </linearGradient>
        <linearGradient id="water-g" x1="0" y1="0" x2="0" y2="1">
          <stop offset="0" stop-color="var(--water-top)" />
          <stop offset="1" stop-color="var(--water-deep)" />
        </linearGradient>
        <linearGradient id="ullage-g" x1="0" y1="0" x2="0" y2="1">
          <stop offset="0" stop-color="var(--ullage-top)" />
          <stop offset=".75" stop-color="var(--ullage)" />
        </linearGradient>
        <linearGradient id="oak-weak-g">
          <stop offset="0" stop-color="var(--spirit-young)" />
          <stop offset="1" stop-color="color-mix(in srgb, var(--spirit-young) 55%, var(--spirit-mid))" />
        </linearGradient>
        <linearGradient id="oak-medium-g">
          <stop offset="0" stop-color="var(--spirit-young)" />
          <stop offset="1" stop-color="var(--spirit-mid)" />
        </linearGradient>
        <linearGradient id="oak-strong-g">
          <stop offset="0" stop-color="var(--spirit-young)" />
          <stop offset="1" stop-color="var(--spirit-old)" />
        </linearGradient>
        <pattern id="hatch" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path d="M0 0V9" stroke="var(--lead)" stroke-width="2.4" />
        </pattern>
      </defs>
    </svg>
  );
}
