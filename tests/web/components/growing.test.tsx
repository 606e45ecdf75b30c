import { act, render } from '@testing-library/preact';
import { expect, test } from 'vitest';
import { useGrowing } from '~/components/near/growing.ts';

const seen: number[] = [];

function Rows({ total }: { total: number }) {
  seen.push(useGrowing(total, 16, 32));
  return null;
}

test('a long list begins with what a window shows, and grows until all of it is there', () => {
  const { rerender } = render(<Rows total={100} />);
  expect(seen).toEqual([16, 48, 80, 100]);

  // What was drawn stays drawn: a filter taken away does not begin anew.
  seen.length = 0;
  act(() => rerender(<Rows total={3} />));
  act(() => rerender(<Rows total={100} />));
  expect(seen).toEqual([3, 100]);
});

test('a short list is drawn at once', () => {
  seen.length = 0;
  render(<Rows total={9} />);
  expect(seen).toEqual([9]);
});
