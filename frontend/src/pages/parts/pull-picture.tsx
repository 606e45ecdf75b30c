import { useState } from 'preact/hooks';
import { PullCurve } from '~/components/pull-curve/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { bestWeeks, type Pull } from '../words/best-weeks.ts';
import { coveredWords, initialsBy, pictureWords, pullTable, scorePoints, uncovered } from '../words/pull.ts';
import { daysSince } from '../words/time.ts';
import { moment } from './clock.ts';
import { myId, nameOf } from './me.ts';

export interface PullPictureProps {
  barrel: ShownBarrel;
  pull: Pull;
  /** Offers the same as a table. */
  withTable?: boolean;
}

/** The scores of a fill, its curve and its best weeks; what others gave waits for one's own. */
export default function PullPicture({ barrel, pull, withTable }: PullPictureProps) {
  const [showsAll, setShowsAll] = useState(false);
  const now = moment();
  const contents = barrel.contents!;
  const me = myId();
  const all = scorePoints(logOf(barrel.id).value ?? [], contents.stay, contents.started_at, now.timezone);
  const veiled = contents.may_taste && !showsAll ? uncovered(all, me) : { seen: all, covered: 0 };
  const points = veiled.seen;
  const short = initialsBy(
    points.map((point) => point.person),
    nameOf,
  );
  return (
    <>
      <PullCurve
        points={points.map((point) => ({
          id: point.id,
          week: point.week,
          liking: point.liking,
          initials: short.get(point.person) ?? '?',
          you: point.person === me,
        }))}
        curve={pull.curve}
        now={daysSince(Date.parse(contents.started_at), now) / 7}
        best={bestWeeks(pull)}
        label={pictureWords(pull, points, nameOf)}
      />
      {veiled.covered > 0 && (
        <Note>
          {coveredWords(veiled.covered)}{' '}
          <button type="button" class="link" onClick={() => setShowsAll(true)}>
            Show them all the same
          </button>
        </Note>
      )}
      {withTable && (
        <details class="pull-table">
          <summary class="link">As a table</summary>
          <table class="note">
            <thead>
              <tr>
                <th scope="col">Week</th>
                <th scope="col">Expected</th>
                <th scope="col">Given</th>
              </tr>
            </thead>
            <tbody>
              {pullTable(pull, points, nameOf).map((row) => (
                <tr key={row.week}>
                  <th scope="row">{row.week}</th>
                  <td>{row.expected || 'not yet'}</td>
                  <td>{row.scores}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
    </>
  );
}
