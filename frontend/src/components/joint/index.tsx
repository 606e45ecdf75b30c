import './style.css';

/** Half the height of the drawing, and how far the outermost joint bows, in px. */
export const BOW = 7;

/** The curve of a joint in a box of 100 by twice the bow. */
export function jointCurve(bend: number): string {
  return `M0 ${BOW}Q50 ${BOW - 2 * BOW * bend} 100 ${BOW}`;
}

export interface JointProps {
  /** -1 to 1; 1 bows up as the head of a list does. */
  bend: number;
  at?: 'top' | 'bottom';
}

/** The joint between two staves of a list. Paint only. */
export function Joint({ bend, at = 'top' }: JointProps) {
  return (
    <svg
      class={`joint joint--${at}`}
      viewBox={`0 0 100 ${2 * BOW}`}
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <path d={jointCurve(bend)} vector-effect="non-scaling-stroke" />
    </svg>
  );
}
