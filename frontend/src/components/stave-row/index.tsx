import './style.css';
import type { ComponentChildren } from 'preact';
import { useContext } from 'preact/hooks';
import { BOW, Joint, jointCurve } from '../joint/index.tsx';
import { useNear } from '../near/index.ts';
import { once } from '../press/once.ts';
import { BendContext, type Bends } from '../stave-list/index.tsx';
import { Brand } from '../words/index.tsx';

export interface StaveRowProps {
  /** An EndView; the left edge cuts it through the middle. Of a long list it is asked for, near or far. */
  picture?: ComponentChildren | ((isFar: boolean) => ComponentChildren);
  /** Something whole at the left, as a bottle. */
  figure?: ComponentChildren;
  /** A plank to press, or a word, at the right. */
  aside?: ComponentChildren;
  href?: string;
  onPress?: () => void;
  tone?: 'due' | 'red' | 'done';
  /** A barrel's name. */
  name?: string;
  /** A sentence instead of a name. */
  title?: ComponentChildren;
  /** Level of the row's heading. */
  heading?: 'h2' | 'h3';
  children?: ComponentChildren;
}

export interface ProudRowProps extends Omit<StaveRowProps, 'tone'> {
  /** Lamp: due. Red: trouble or harmfully late. */
  tone: 'lamp' | 'red';
}

/** One stave of a list. */
export function StaveRow(props: StaveRowProps) {
  const bends = useContext(BendContext);
  const { ref, isNear } = useNear<HTMLLIElement & HTMLDivElement>(
    bends.isFar && typeof props.picture === 'function',
  );
  const Item = bends.inList ? 'li' : 'div';
  return (
    <Item ref={ref} class={`stave-row${props.tone === 'done' ? ' stave-row--done' : ''}`}>
      {isNear && <Joint bend={bends.top} />}
      <Inside {...props} isFar={!isNear} />
      {bends.isLast && <Joint bend={bends.bottom} at="bottom" />}
    </Item>
  );
}

/** What is due or in trouble stands proud of its list: lit, with a lit edge and a shadow beneath. */
export function ProudRow({ tone, ...props }: ProudRowProps) {
  const bends = useContext(BendContext);
  const { ref, isNear } = useNear<HTMLLIElement & HTMLDivElement>(
    bends.isFar && typeof props.picture === 'function',
  );
  const Item = bends.inList ? 'li' : 'div';
  return (
    <Item ref={ref} class={`stave-row proud proud--${tone}`}>
      {isNear && <ProudGround bends={bends} />}
      <Inside {...props} isFar={!isNear} tone={tone === 'red' ? 'red' : undefined} />
    </Item>
  );
}

/** Ground, lit edge and shadow, in pieces that need no measuring: only the two ends are curved. */
function ProudGround({ bends }: { bends: Bends }) {
  const box = `0 0 100 ${2 * BOW}`;
  const lift = `M0 ${BOW}Q50 ${BOW - 2 * BOW * bends.bottom} 100 ${BOW}`;
  return (
    <>
      <div class="proud__ground" aria-hidden="true" />
      <svg class="proud__foot" viewBox={box} preserveAspectRatio="none" aria-hidden="true" focusable="false">
        <path class="proud__shadow" d={`${lift}v6Q50 ${BOW + 6 - 2 * BOW * bends.bottom} 0 ${BOW + 6}Z`} />
        <path class="proud__end" d={`M0 -1H100V${BOW}Q50 ${BOW - 2 * BOW * bends.bottom} 0 ${BOW}Z`} />
      </svg>
      <svg class="proud__head" viewBox={box} preserveAspectRatio="none" aria-hidden="true" focusable="false">
        <path class="proud__end" d={`${jointCurve(bends.top)}V${2 * BOW + 1}H0Z`} />
        <path class="proud__edge" d={jointCurve(bends.top)} vector-effect="non-scaling-stroke" />
      </svg>
    </>
  );
}

function Inside({
  picture,
  figure,
  aside,
  href,
  onPress,
  tone,
  name,
  title,
  heading,
  isFar,
  children,
}: StaveRowProps & { isFar: boolean }) {
  const Heading = heading ?? 'h2';
  const kind = picture ? ' stave-row__in--picture' : figure ? ' stave-row__in--figure' : '';
  return (
    <div class={`stave-row__in${kind}`}>
      {picture && (
        <div class="stave-row__picture">{typeof picture === 'function' ? picture(isFar) : picture}</div>
      )}
      {figure && <div class="stave-row__figure">{figure}</div>}
      <div class="stave-row__body">
        <div class="stave-row__words">
          {(name ?? title) !== undefined && (
            <Heading class={name ? 'stave-row__name' : 'stave-row__title'}>
              <Whole href={href} onPress={onPress}>
                {name ? (
                  <Brand tone={brandTone(tone)}>{name}</Brand>
                ) : (
                  <span class={titleTone(tone)}>{title}</span>
                )}
              </Whole>
            </Heading>
          )}
          <div class={tone === 'red' || tone === 'due' ? 'note ink' : 'note'}>{children}</div>
        </div>
        {aside && <div class="stave-row__aside">{aside}</div>}
      </div>
    </div>
  );
}

function brandTone(tone: StaveRowProps['tone']): 'red' | 'soft' | undefined {
  if (tone === 'red') return 'red';
  return tone === 'done' ? 'soft' : undefined;
}

function titleTone(tone: StaveRowProps['tone']): string | undefined {
  return tone === 'red' ? 'red' : tone === 'done' ? 'soft' : undefined;
}

/** Makes the whole row answer, without nesting one control in another. */
function Whole({
  href,
  onPress,
  children,
}: {
  href?: string | undefined;
  onPress?: (() => void) | undefined;
  children: ComponentChildren;
}) {
  if (href !== undefined) {
    return (
      <a class="stave-row__whole" href={href}>
        {children}
      </a>
    );
  }
  if (onPress) {
    return (
      <button type="button" class="stave-row__whole" onClick={once(onPress)}>
        {children}
      </button>
    );
  }
  return <>{children}</>;
}
