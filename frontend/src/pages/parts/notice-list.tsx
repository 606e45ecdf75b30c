import { useState } from 'preact/hooks';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { barrelBy, notices } from '~/outbox/overlay.ts';
import { noticesToShow, noticeWords } from '../words/notices.ts';
import { moment } from './clock.ts';
import { flightNotices } from './flight-notices.tsx';

const KEY = 'staveward.notices-read';

function readOnes(): Set<string> {
  try {
    return new Set(JSON.parse(localStorage.getItem(KEY) ?? '[]') as string[]);
  } catch {
    return new Set();
  }
}

/** Word of trouble to whom it touches: it stays until it is read. */
export default function NoticeList() {
  const now = moment();
  const [read, setRead] = useState(readOnes);
  const shown = noticesToShow(notices.value, read);
  const glasses = flightNotices();
  if (shown.length + glasses.length === 0) return null;
  const settle = (id: string): void => {
    const next = new Set([...read, id]);
    setRead(next);
    try {
      // Only those that still exist: the list never grows beyond what the server keeps.
      const known = new Set(notices.value.map((one) => one.id));
      localStorage.setItem(KEY, JSON.stringify([...next].filter((one) => known.has(one))));
    } catch {
      // Without storage it is read again next time, which harms nobody.
    }
  };
  return (
    <Section class="gap4">
      <div class="stack">
        {glasses}
        {shown.map((one) => {
          const barrel = barrelBy(one.barrel);
          const words = noticeWords(one, barrel?.name ?? 'A barrel', now);
          return (
            <Notice
              key={one.id}
              tone={words.isRed ? 'red' : 'plain'}
              act={<Press onPress={() => settle(one.id)}>Read</Press>}
            >
              {barrel ? (
                <a class="link" href={`/barrels/${barrel.id}`}>
                  {words.text}
                </a>
              ) : (
                words.text
              )}
            </Notice>
          );
        })}
      </div>
    </Section>
  );
}
