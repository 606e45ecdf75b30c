import { fireEvent, render, screen, within } from '@testing-library/preact';
import { useState } from 'preact/hooks';
import { describe, expect, test, vi } from 'vitest';
import { AsOf } from '~/components/as-of/index.tsx';
import { EndView } from '~/components/end-view/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { once } from '~/components/press/once.ts';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Sentence } from '~/components/sentence/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveLine } from '~/components/stave-line/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { ProudRow, StaveRow } from '~/components/stave-row/index.tsx';
import { setTheme, startTheme, theme } from '~/components/theme/index.ts';
import { WaterLine } from '~/components/water-line/index.tsx';

const DAY = 86_400_000;
const now = Date.UTC(2026, 2, 12);

function press(target: EventTarget | null, at: number, x: number, y: number): MouseEvent {
  const event = new MouseEvent('click', { clientX: x, clientY: y, cancelable: true });
  Object.defineProperty(event, 'timeStamp', { value: at });
  Object.defineProperty(event, 'currentTarget', { value: target });
  return event;
}

describe('a press', () => {
  test('a second tap within 400 ms is ignored, also on what took its place', () => {
    const act = vi.fn();
    const [a, b] = [document.createElement('button'), document.createElement('button')];
    const press_ = once(act);

    press_(press(a, 10_000, 50, 50));
    press_(press(a, 10_200, 50, 50));
    press_(press(b, 10_300, 55, 52));
    expect(act).toHaveBeenCalledTimes(1);

    press_(press(b, 10_300, 300, 50));
    press_(press(a, 10_900, 50, 50));
    expect(act).toHaveBeenCalledTimes(3);
  });

  test('a busy plank says so and does not answer', () => {
    const act = vi.fn();
    render(
      <Press busy="Saving" onPress={act}>
        Save
      </Press>,
    );

    fireEvent.click(screen.getByRole('button', { name: 'Saving' }));

    expect(act).not.toHaveBeenCalled();
  });

  test('a choice is told as pressed', () => {
    render(<Press chosen>right</Press>);

    expect(screen.getByRole('button').getAttribute('aria-pressed')).toBe('true');
  });
});

describe('the sill', () => {
  test('stands in reading order, links as links and acts as buttons', () => {
    const onPress = vi.fn();
    render(
      <Sill
        left={{ label: 'Trouble', tone: 'red', onPress }}
        act={{ label: 'Taste', href: '/taste' }}
        right={{ label: 'Log', href: '/log' }}
      />,
    );
    const sill = screen.getByRole('navigation', { name: 'Acts' });

    fireEvent.click(within(sill).getByRole('button', { name: 'Trouble' }));

    expect(onPress).toHaveBeenCalledOnce();
    expect(within(sill).getByRole('link', { name: 'Taste' }).getAttribute('href')).toBe('/taste');
    expect(sill.textContent).toBe('TroubleTasteLog');
  });

  test('an unlit act can still be reached and asked', () => {
    const onPress = vi.fn();
    render(<Sill act={{ label: 'Save', lit: false, onPress }} />);
    const save = screen.getByRole('button', { name: 'Save' });

    fireEvent.click(save);

    expect(save.getAttribute('aria-disabled')).toBe('true');
    expect(onPress).toHaveBeenCalledOnce();
  });
});

describe('a sentence of choices', () => {
  function Wish() {
    const [litres, setLitres] = useState('5');
    return (
      <Sentence
        parts={[
          'I want to fill ',
          {
            id: 'litres',
            label: 'How much?',
            text: `${litres} L`,
            value: litres,
            onChange: setLitres,
            options: [
              { value: '5', label: '5 L' },
              { value: '10', label: '10 L' },
            ],
          },
          '.',
        ]}
      />
    );
  }

  test('a word opens its sheet, a choice closes it and stands in the sentence', () => {
    const { container } = render(<Wish />);

    fireEvent.click(screen.getByRole('button', { name: 'How much? 5 L' }));
    const sheet = screen.getByRole('dialog', { name: 'How much?' });
    fireEvent.click(within(sheet).getByRole('button', { name: '10 L' }));

    expect(screen.queryByRole('dialog')).toBeNull();
    expect(container.querySelector('.sentence')?.textContent).toBe('I want to fill 10 L.');
  });

  test('Esc and the plank close the sheet and change nothing', () => {
    const { container } = render(<Wish />);

    fireEvent.click(screen.getByRole('button', { name: 'How much? 5 L' }));
    fireEvent(screen.getByRole('dialog'), new Event('cancel', { cancelable: true }));
    expect(screen.queryByRole('dialog')).toBeNull();

    expect(container.querySelector('.sentence')?.textContent).toBe('I want to fill 5 L.');
  });
});

describe('planks side by side', () => {
  test('are radios of which a chosen one may be unset', () => {
    const chosen: (number | undefined)[] = [];
    function Oak() {
      const [value, setValue] = useState<number | undefined>(0);
      return (
        <PressGroup
          label="Oak"
          none
          value={value}
          onChange={(next) => {
            chosen.push(next);
            setValue(next);
          }}
          options={[
            { value: -1, label: 'too little' },
            { value: 0, label: 'right' },
          ]}
        />
      );
    }
    render(<Oak />);
    const group = screen.getByRole('group', { name: 'Oak' });
    const plank = (name: string): HTMLInputElement => within(group).getByRole('radio', { name });

    fireEvent.click(plank('too little'));
    expect(plank('too little').checked).toBe(true);
    fireEvent.click(plank('too little'));
    expect(plank('too little').checked).toBe(false);
    fireEvent.click(plank('right'));

    expect(chosen).toEqual([-1, undefined, 0]);
  });
});

describe('a field', () => {
  test('says its error and the allowed range to whoever is in it', () => {
    render(
      <Field
        label="Strength"
        value="82"
        onInput={() => undefined}
        error="82 % vol is too strong."
        allowed="20 to 63.5 % vol"
      />,
    );
    const input = screen.getByLabelText('Strength');
    const id = input.getAttribute('aria-describedby') ?? '';

    expect(input.getAttribute('aria-invalid')).toBe('true');
    expect(document.getElementById(id)?.textContent).toBe(
      '82 % vol is too strong. Allowed: 20 to 63.5 % vol.',
    );
  });
});

describe('a list of staves', () => {
  test('is a list whose rows answer by their name, with what stands aside apart', () => {
    render(
      <StaveList label="Due">
        <ProudRow tone="red" name="Neap" href="/barrels/neap" aside={<Press>All well</Press>}>
          Late.
        </ProudRow>
        <StaveRow title="One entry needs you" href="/tray">
          A taste of Ebb.
        </StaveRow>
      </StaveList>,
    );
    const rows = within(screen.getByRole('list', { name: 'Due' })).getAllByRole('listitem');

    expect(rows).toHaveLength(2);
    expect(within(rows[0]!).getByRole('link', { name: 'Neap' }).getAttribute('href')).toBe('/barrels/neap');
    expect(within(rows[0]!).getByRole('button', { name: 'All well' })).toBeTruthy();
    expect(within(rows[1]!).getByRole('heading', { name: 'One entry needs you' })).toBeTruthy();
  });

  test('a time-line reads as a list of stays', () => {
    render(
      <StaveLine
        from={now - 100 * DAY}
        to={now + 50 * DAY}
        now={now}
        stays={[
          { kind: 'hold', from: now - 60 * DAY, to: now - 35 * DAY },
          { kind: 'fill', from: now - 35 * DAY, to: null, name: 'rye' },
        ]}
        booked={[{ from: now + 7 * DAY, to: now + 30 * DAY, state: 'pencilled', name: 'Sedge' }]}
      />,
    );

    expect(screen.getAllByRole('listitem').map((item) => item.textContent)).toEqual([
      'Wet hold, 11 January to 5 February.',
      'Fill of rye, since 5 February.',
      'Pencilled for Sedge, 19 March to 10 April.',
    ]);
  });
});

describe('the picture of a barrel', () => {
  const barrel = {
    name: 'Ebb',
    tag: 'EBB',
    capacityL: 5,
    contents: 'spirit' as const,
    levelLow: 0.6,
    levelHigh: 0.62,
    volumeLowL: 3.1,
    volumeHighL: 3.3,
  };

  test('is one image with one sentence', () => {
    render(<EndView barrel={barrel} radius={33} />);

    expect(screen.getByRole('img').getAttribute('aria-label')).toBe(
      'Ebb, lying bung up, 3.1 to 3.3 of 5 litres.',
    );
  });

  test('is silent where the words beside it say it all', () => {
    const { container } = render(<EndView barrel={barrel} radius={33} decorative />);

    expect(screen.queryByRole('img')).toBeNull();
    expect(container.querySelector('svg')?.getAttribute('aria-hidden')).toBe('true');
  });

  test('draws its line at the true height, and grain only when large', () => {
    const { container } = render(<EndView barrel={barrel} radius={100} />);
    const small = render(<EndView barrel={barrel} radius={33} />);

    expect(container.querySelector('.ev-level')?.getAttribute('d')).toContain(' -22H');
    expect(container.querySelector('.ev-grain')).not.toBeNull();
    expect(small.container.querySelector('.ev-grain')).toBeNull();
  });

  test('a narrow range is a single line without a band', () => {
    const narrow = { ...barrel, levelLow: 0.6, levelHigh: 0.602 };
    const { container } = render(<EndView barrel={narrow} radius={100} />);
    const wide = render(<EndView barrel={{ ...narrow, levelHigh: 0.65 }} radius={100} />);

    expect(container.querySelector('.ev-maybe')).toBeNull();
    expect(wide.container.querySelector('.ev-maybe')).not.toBeNull();
  });

  test('nobody sees the sharers of a private fill', () => {
    const secret = { ...barrel, isPrivate: true, sharers: [{ initials: 'S', weight: 1 }] };
    const { container } = render(<EndView barrel={secret} radius={100} />);

    expect(container.textContent).toBe('');
  });

  test('over six sharers show yours and how many more', () => {
    const many = Array.from({ length: 8 }, (_, i) => ({ initials: `P${i}`, weight: 1, you: i === 2 }));
    const { container } = render(<EndView barrel={{ ...barrel, sharers: many }} radius={100} />);

    expect([...container.querySelectorAll('text')].map((text) => text.textContent)).toEqual(['P2', '+7']);
  });

  test('the level runs out of the wood, but not of an empty barrel', () => {
    const full = render(<WaterLine barrel={barrel} side="left" above="Ebb" below="3 L" />);
    const empty = render(
      <WaterLine barrel={{ ...barrel, contents: 'empty' }} side="left" above="" below="" />,
    );

    expect(full.container.querySelector('.ev-out')).not.toBeNull();
    expect(empty.container.querySelector('.ev-out')).toBeNull();
  });
});

describe('the screen', () => {
  test('has skip links, one main part and a polite line', () => {
    render(
      <Screen
        title="Barrels"
        heading="Barrels"
        announce="Saved. On this phone."
        sill={<Sill act={{ label: 'Scan' }} />}
      >
        content
      </Screen>,
    );

    expect(document.title).toBe('Barrels · Staveward');
    expect(screen.getByRole('main')).toBeTruthy();
    expect(screen.getByRole('heading', { level: 1, name: 'Barrels' })).toBeTruthy();
    expect(screen.getByRole('status').textContent).toBe('Saved. On this phone.');
    expect(screen.getByRole('link', { name: 'To the acts' }).getAttribute('href')).toBe('#sill');
  });

  test.each([
    [{ kind: 'fresh', time: '18:40' }, 'as of 18:40'],
    [{ kind: 'no-signal', time: '17:52' }, 'no signal since 17:52'],
    [{ kind: 'no-signal', unsent: 3 }, '3 not yet sent, no signal'],
    [{ kind: 'never' }, 'nothing fetched yet'],
  ] as const)('says how fresh it is', (props, words) => {
    const { container } = render(<AsOf {...props} />);

    expect(container.textContent).toBe(words);
  });
});

describe('the theme', () => {
  test('is kept on this device and follows it by default', () => {
    setTheme('light');
    expect(document.documentElement.dataset.theme).toBe('light');

    theme.value = 'system';
    startTheme();
    expect(theme.value).toBe('light');

    setTheme('system');
    expect(document.documentElement.dataset.theme).toBeUndefined();
    expect(localStorage.getItem('staveward.theme')).toBeNull();
  });
});
