import './style.css';
import { once } from '../press/once.ts';

/** One plank of the sill. */
export interface SillPlank {
  label: string;
  href?: string;
  onPress?: () => void;
  tone?: 'red';
  /** The act's plank shines when it can be done; an unlit one still answers and can say why. */
  lit?: boolean;
  disabled?: boolean;
  describedBy?: string;
}

export interface SillProps {
  left?: SillPlank | undefined;
  act?: SillPlank | undefined;
  right?: SillPlank | undefined;
  label?: string;
}

/** The foot of a screen: one bowed plank in up to three staves, the middle one the act. */
export function Sill({ left, act, right, label = 'Acts' }: SillProps) {
  return (
    <nav class="sill noprint" id="sill" tabIndex={-1} aria-label={label}>
      <div class="sill__plank" aria-hidden="true" />
      <div class="sill__row">
        {left && <Plank plank={left} kind="side" />}
        {act && <Plank plank={act} kind={act.lit === false ? 'unlit' : 'lit'} />}
        {right && <Plank plank={right} kind="side" />}
      </div>
    </nav>
  );
}

function Plank({ plank, kind }: { plank: SillPlank; kind: 'side' | 'lit' | 'unlit' }) {
  const tone = plank.tone === 'red' ? ' sill__stave--red' : '';
  const name = `sill__stave sill__stave--${kind}${tone}`;
  const words = (
    <>
      {kind === 'lit' && <Grain />}
      <span class="sill__label">{plank.label}</span>
    </>
  );
  if (plank.href !== undefined) {
    return (
      <a class={name} href={plank.href} aria-describedby={plank.describedBy}>
        {words}
      </a>
    );
  }
  return (
    <button
      type="button"
      class={name}
      disabled={plank.disabled}
      aria-disabled={kind === 'unlit' ? true : undefined}
      aria-describedby={plank.describedBy}
      onClick={once(plank.onPress)}
    >
      {words}
    </button>
  );
}

/** The lit plank's grain follows the bow of its edge. */
function Grain() {
  return (
    <svg
      class="sill__grain"
      viewBox="0 0 182 96"
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <path
        d="M5 10Q60 6 113 7M40 14Q110 10 175 15M10 73Q55 70 91 70M54 77Q115 74 171 79M18 86Q75 82 128 84"
        vector-effect="non-scaling-stroke"
      />
    </svg>
  );
}
