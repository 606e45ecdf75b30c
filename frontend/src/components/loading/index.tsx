import './style.css';
import { useEffect, useState } from 'preact/hooks';
import { bendOf } from '../draw/stave-shape.ts';
import { Joint } from '../joint/index.tsx';

const ROWS = 5;

/** The first wait of all: joints without words, and only when it lasts longer than 300 ms. */
export function Loading({ label = 'Fetching' }: { label?: string }) {
  const [isLong, setLong] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLong(true), 300);
    return () => clearTimeout(timer);
  }, []);
  if (!isLong) return null;
  return (
    <div class="loading" role="status">
      <span class="sr">{label}</span>
      {Array.from({ length: ROWS }, (_, i) => (
        <div key={bendOf(i, ROWS)} class="loading__row">
          <Joint bend={bendOf(i, ROWS)} />
        </div>
      ))}
    </div>
  );
}
