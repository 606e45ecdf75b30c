import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { useState } from 'preact/hooks';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { Sharers } from '~/pages/fill/sharers.tsx';
import { keeperWith, leave, settle } from '../at-the-barrel.tsx';
import { barrel, MEMBER } from '../cast.ts';

let said: [{ person: string; weight: number }[], number];

/** The list as a page holds it: what is said comes back. */
function Held({ start, club = 0 }: { start: { person: string; weight: number }[]; club?: number }) {
  const [whose, setWhose] = useState<typeof said>([start, club]);
  said = whose;
  return (
    <Sharers
      sharers={whose[0]}
      club_weight={whose[1]}
      onChange={(sharers, club_weight) => setWhose([sharers, club_weight])}
    />
  );
}

beforeEach(() => keeperWith(barrel()));
afterEach(() => {
  cleanup();
  leave();
});

const rows = (): string[] => screen.getAllByRole('listitem').map((one) => one.textContent ?? '');

test('the club is added beside sharers, weighed like them, and goes when it holds nothing', async () => {
  render(<Held start={[{ person: MEMBER, weight: 2 }]} />);
  const add = await screen.findByLabelText('Add a sharer');
  fireEvent.change(add, { target: { value: 'club' } });
  expect(said).toEqual([[{ person: MEMBER, weight: 2 }], 1]);
  expect(rows().at(-1)).toContain('The club, one share of three');
  fireEvent.click(screen.getByRole('button', { name: /\+ one share for The club/ }));
  expect(rows()[0]).toContain('two shares of four');
  for (let i = 0; i < 2; i += 1) {
    await settle();
    fireEvent.click(screen.getByRole('button', { name: /− one share for The club/ }));
  }
  expect(said).toEqual([[{ person: MEMBER, weight: 2 }], 0]);
  expect(rows()).toHaveLength(1);
});

test('with the last sharer the club’s share goes too: the whole is the club’s', async () => {
  render(<Held start={[{ person: MEMBER, weight: 1 }]} club={2} />);
  await screen.findByText(/The club, two shares of three/);
  const less = screen.getAllByRole('button', { name: /− one share for/ });
  fireEvent.click(less[0]!);
  expect(said).toEqual([[], 0]);
  screen.getByText(/The club owns it/);
  // Alone it needs no share, and is not offered one.
  expect(screen.queryByRole('option', { name: 'The club itself' })).toBeNull();
});
