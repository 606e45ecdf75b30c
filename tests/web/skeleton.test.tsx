import { render } from '@testing-library/preact';
import { expect, test } from 'vitest';
import First from '~/pages/first/index.tsx';

test('it shows something', () => {
  const { getByRole } = render(<First />);
  expect(getByRole('main').textContent).toContain('Staveward');
});
