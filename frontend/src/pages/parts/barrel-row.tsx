import type { ComponentChildren } from 'preact';
import type { Barrel } from '~/api/types.ts';
import { radiusFor } from '~/components/draw/picture.ts';
import { EndView } from '~/components/end-view/index.tsx';
import { ProudRow, StaveRow } from '~/components/stave-row/index.tsx';
import { pictureOf } from '../words/barrel.ts';
import { nowMs } from './clock.ts';

export interface BarrelRowProps {
  barrel: Barrel;
  /** Stands proud: due (lamp) or harmfully late and in trouble (red). */
  proud?: 'lamp' | 'red' | undefined;
  tone?: 'done' | undefined;
  href?: string;
  aside?: ComponentChildren;
  scale?: number;
  children: ComponentChildren;
}

/** A barrel as a stave of a list: its picture cut by the edge, its name, and words. */
export function BarrelRow({ barrel, proud, tone, href, aside, scale, children }: BarrelRowProps) {
  const picture = (isFar: boolean) => (
    <EndView
      barrel={pictureOf(barrel, nowMs.value)}
      radius={radiusFor(barrel.capacity_l, scale)}
      cut="left"
      isFar={isFar}
    />
  );
  const shared = { picture, name: barrel.name, href: href ?? `/barrels/${barrel.id}`, aside };
  return proud ? (
    <ProudRow {...shared} tone={proud}>
      {children}
    </ProudRow>
  ) : (
    <StaveRow {...shared} {...(tone ? { tone } : {})}>
      {children}
    </StaveRow>
  );
}
