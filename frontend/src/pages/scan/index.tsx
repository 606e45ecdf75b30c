import './style.css';
import { useEffect, useRef, useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelOfTag } from '~/outbox/overlay.ts';
import type { Scanner } from '~/scan/decoder.ts';
import { tagFromText } from '~/science/tag.ts';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { afterScan } from '../words/scan.ts';

/** Scan a barrel's tag, or type its code. */
export default function ScanPage() {
  const go = useGo();
  const video = useRef<HTMLVideoElement>(null);
  const scanner = useRef<Scanner | null>(null);
  const [state, setState] = useState<'opening' | 'looking' | 'closed'>('opening');
  const [trouble, setTrouble] = useState('');
  const [found, setFound] = useState('');
  const [typed, setTyped] = useState('');
  const [wrong, setWrong] = useState<{ detail: string; allowed: string } | null>(null);
  const [hasLamp, setHasLamp] = useState<boolean | null>(null);

  const open = (code: string): void => {
    const barrel = barrelOfTag(code);
    if (barrel) go(afterScan(barrel));
    else setFound(`No barrel of this club has the tag ${code}. Its tag may have been replaced.`);
  };

  useEffect(() => {
    let isGone = false;
    const start = async (): Promise<void> => {
      const element = video.current;
      if (!element) return;
      const opened = await import('~/scan/decoder.ts')
        .then(({ openScanner }) =>
          openScanner(element, { onCode: open, onForeign: (_text, detail) => setFound(detail) }),
        )
        .catch(() => ({ words: 'The part that reads tags is not on this phone yet. Type the code.' }));
      if ('words' in opened) {
        if (!isGone) {
          setTrouble(opened.words);
          setState('closed');
        }
        return;
      }
      if (isGone) {
        opened.stop();
        return;
      }
      scanner.current = opened;
      setHasLamp(opened.torch ? opened.torch.is_on : null);
      setState('looking');
    };
    void start();
    return () => {
      isGone = true;
      scanner.current?.stop();
    };
  }, []);

  const submit = (event?: Event): void => {
    event?.preventDefault();
    const read = tagFromText(typed);
    if (!read.ok) {
      setWrong({ detail: read.detail, allowed: read.allowed });
      return;
    }
    setWrong(null);
    open(read.code);
  };

  const lamp = async (): Promise<void> => {
    const torch = scanner.current?.torch;
    if (!torch) return;
    await torch.set(!torch.is_on);
    setHasLamp(torch.is_on);
  };

  return (
    <Screen
      title="Scan"
      top={{ back: { href: '/', label: 'Home' }, right: <Fresh /> }}
      announce={found || trouble}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Open', lit: typed.trim() !== '', onPress: () => submit() }}
          {...(hasLamp === null
            ? {}
            : { right: { label: hasLamp ? 'Light off' : 'Light on', onPress: () => void lamp() } })}
        />
      }
    >
      <Section>
        <Title>Scan a tag</Title>
        {state !== 'closed' && <p class="note gap1">Hold the tag in the frame.</p>}
      </Section>
      <div class={state === 'closed' ? 'scan__frame scan__frame--closed' : 'scan__frame'} aria-hidden="true">
        <video ref={video} class="scan__video" playsInline muted />
        <svg class="scan__ring" viewBox="0 0 100 100" focusable="false">
          <circle cx="50" cy="50" r="44" />
          <path d="M50 2v8M50 90v8M2 50h8M90 50h8" />
        </svg>
      </div>
      <Section>
        {trouble && <p class="note ink gap3">{trouble}</p>}
        {found && (
          <div class="gap3">
            <Notice tone="red">{found}</Notice>
          </div>
        )}
        <form class="scan__form gap4" onSubmit={submit} noValidate>
          <Field
            label={state === 'closed' ? 'The tag’s code' : 'Or type the code'}
            value={typed}
            onInput={(text) => {
              setTyped(text);
              setWrong(null);
              setFound('');
            }}
            autoCapitalize="characters"
            autocomplete="off"
            maxLength={120}
            error={wrong?.detail}
            allowed={wrong?.allowed}
            hint="Six letters and figures. The last one checks the others."
          />
        </form>
      </Section>
    </Screen>
  );
}
