import { act, render } from '@testing-library/preact';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { BarrelPicture } from '~/components/draw/picture.ts';
import { EndView } from '~/components/end-view/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';

type Heard = (seen: { target: Element; isIntersecting: boolean }[]) => void;
let heard: Heard = () => {};

beforeEach(() => {
  vi.stubGlobal(
    'IntersectionObserver',
    class {
      constructor(callback: Heard) {
        heard = callback;
      }
      observe(): void {}
      unobserve(): void {}
    },
  );
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

const barrel = (row: number): BarrelPicture => ({
  name: `No. ${row}`,
  tag: `K${row}`,
  capacityL: 5,
  contents: 'empty',
});

/** Rows 100 px high, as a window 800 px high would lay them. */
function rows(count: number): Element[] {
  vi.spyOn(Element.prototype, 'getBoundingClientRect').mockImplementation(function (this: Element) {
    return { top: 100 * Number(this.querySelector('h2')?.textContent) } as DOMRect;
  });
  const { container } = render(
    <StaveList>
      {Array.from({ length: count }, (_, row) => (
        <StaveRow
          key={`${row as number}`}
          title={String(row)}
          picture={(isFar) => <EndView barrel={barrel(row)} radius={30} isFar={isFar} />}
        />
      ))}
    </StaveList>,
  );
  return [...container.querySelectorAll('svg.end-view')];
}

test('what is far down a list keeps its place and its words, and is drawn when the window comes near', () => {
  const drawn = rows(40);
  const isDrawn = (row: number): boolean => (drawn[row]?.childElementCount ?? 0) > 0;
  expect(isDrawn(0)).toBe(true);
  expect(isDrawn(39)).toBe(false);
  expect(drawn[39]?.getAttribute('width')).toBe(drawn[0]?.getAttribute('width'));
  expect(drawn[39]?.getAttribute('aria-label')).toBeTruthy();
  const joints = (row: number): number => drawn[row]?.closest('li')?.querySelectorAll('.joint').length ?? 0;
  expect([joints(0), joints(38)]).toEqual([1, 0]);

  const last = drawn[39]?.closest('li') as Element;
  act(() => heard([{ target: last, isIntersecting: true }]));
  expect(isDrawn(39)).toBe(true);
  expect(isDrawn(38)).toBe(false);
});

test('on paper everything is drawn', () => {
  const drawn = rows(40);
  act(() => {
    dispatchEvent(new Event('beforeprint'));
  });
  expect(drawn.every((one) => one.childElementCount > 0)).toBe(true);
});
