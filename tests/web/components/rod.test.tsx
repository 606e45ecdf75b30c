import { fireEvent, render, screen } from '@testing-library/preact';
import { useState } from 'preact/hooks';
import { describe, expect, test, vi } from 'vitest';
import { isCovered, Rod, ScoreField, scoreForKey } from '~/components/rod/index.tsx';
import { halfStep, scoreText, scoreWord } from '~/components/rod/words.ts';

function Scored({ start }: { start?: number }) {
  const [value, setValue] = useState<number | undefined>(start);
  return <Rod value={value} onChange={setValue} />;
}

const rod = (): HTMLElement => screen.getByRole('slider');
const press = (...keys: string[]): void => {
  for (const key of keys) fireEvent.keyDown(rod(), { key });
};

describe('the rod', () => {
  test('has no start value', () => {
    render(<Scored />);

    expect(rod().getAttribute('aria-valuetext')).toBe('not scored yet');
    expect(rod().getAttribute('aria-valuemin')).toBe('0');
    expect(rod().getAttribute('aria-valuemax')).toBe('10');
  });

  test('says its score with its word', () => {
    render(<Scored start={7.5} />);

    expect(rod().getAttribute('aria-valuetext')).toBe('7.5, like it');
    expect(rod().getAttribute('aria-valuenow')).toBe('7.5');
  });

  test('the first arrow wets it in the middle, the next move it by half a point', () => {
    render(<Scored />);

    press('ArrowUp');
    expect(rod().getAttribute('aria-valuenow')).toBe('5');
    press('ArrowUp', 'ArrowUp', 'ArrowDown');
    expect(rod().getAttribute('aria-valuenow')).toBe('5.5');
  });

  test('stops at its ends', () => {
    render(<Scored start={9.5} />);

    press('ArrowUp', 'ArrowUp', 'PageUp');
    expect(rod().getAttribute('aria-valuenow')).toBe('10');
    press('Home', 'ArrowDown');
    expect(rod().getAttribute('aria-valuenow')).toBe('0');
    press('End');
    expect(rod().getAttribute('aria-valuenow')).toBe('10');
  });

  test('takes a digit, and a nought soon after a one as ten', () => {
    render(<Scored />);

    press('7');
    expect(rod().getAttribute('aria-valuenow')).toBe('7');
    press('1', '0');
    expect(rod().getAttribute('aria-valuenow')).toBe('10');
  });

  test('leaves other keys and shortcuts alone', () => {
    const onChange = vi.fn();
    render(<Rod value={5} onChange={onChange} />);

    press('Tab', 'a', 'Enter');
    fireEvent.keyDown(rod(), { key: '5', ctrlKey: true });

    expect(onChange).not.toHaveBeenCalled();
  });

  test('is tapped without a drag, at the height of the score', () => {
    render(<Scored />);
    const scale = rod().querySelector('.rod__scale') as HTMLElement;
    scale.getBoundingClientRect = () => ({ top: 100, height: 400 }) as DOMRect;

    fireEvent(rod(), new MouseEvent('pointerdown', { bubbles: true, clientY: 200, buttons: 1 }));

    expect(rod().getAttribute('aria-valuenow')).toBe('7.5');
  });

  test('a mark covers the anchor beside it and no other', () => {
    expect(isCovered(10, 9, 2.48)).toBe(true);
    expect(isCovered(5, 9, 2.48)).toBe(false);
    expect(isCovered(5, 5.5, 2.48)).toBe(true);
    expect(isCovered(0, undefined, 2.48)).toBe(false);
  });

  test('is upright to a screen reader and keys', () => {
    expect(rodOrientation()).toBe('vertical');
    expect(scoreForKey('0', 3, true)).toBe(10);
    expect(scoreForKey('0', 3, false)).toBe(0);
  });
});

function rodOrientation(): string | null {
  render(<Scored />);
  return rod().getAttribute('aria-orientation');
}

describe('the typed score', () => {
  test('keeps tenths and refuses what is off the scale', () => {
    const onChange = vi.fn();
    render(<ScoreField value={undefined} onChange={onChange} />);
    const input = screen.getByLabelText('Score, typed');

    fireEvent.input(input, { target: { value: '7.34' } });
    fireEvent.input(input, { target: { value: '11' } });
    fireEvent.input(input, { target: { value: '' } });

    expect(onChange.mock.calls).toEqual([[7.3], [undefined]]);
  });
});

describe('the words of the scale', () => {
  test.each([
    [0, 'dislike extremely'],
    [2, 'dislike it'],
    [5, 'neither'],
    [5.5, 'like it a little'],
    [7.5, 'like it'],
    [8.5, 'like it very much'],
    [10, 'like extremely'],
  ])('%f is "%s"', (score, words) => {
    expect(scoreWord(score)).toBe(words);
  });

  test('half steps and texts', () => {
    expect(halfStep(7.3)).toBe(7.5);
    expect(halfStep(-1)).toBe(0);
    expect(scoreText(7)).toBe('7');
    expect(scoreText(7.25)).toBe('7.3');
  });
});
