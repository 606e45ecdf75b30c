/** When to pull, in words and as points of a picture; what others gave stays covered until one's own is saved. */

import type { Barrel, LogEntry } from '~/api/types.ts';
import { type Day, dayIn, daysBetween } from '~/science/dates.ts';
import { initialsOf } from './barrel.ts';
import { bestWeeks, bestWeeksWords, type Pull, weekNumber, weeksText } from './best-weeks.ts';
import { capital, counted, inWords } from './numbers.ts';

/** The judgement, as a title. */
export function pullTitle(pull: Pull): string {
  const best = `Probably best in ${weeksText(bestWeeks(pull))}.`;
  switch (pull.verdict) {
    case 'keep_going':
      return `Leave it. ${best}`;
    case 'near_best':
      return pull.reason === 'scores_hardly_move'
        ? 'Near its best. Its scores hardly move.'
        : `Near its best. ${best}`;
    case 'past_best':
      return `Past its best. ${best}`;
    default:
      if (pull.reason === 'last_tasting_old') return 'The last taste is too old to say.';
      return pull.reason === 'not_clear_yet' ? 'Not clear yet.' : 'Too few tastes to say.';
  }
}

/** "about 4 chances in 5"; a chance is never a percentage here. */
export function chanceWords(p: number): string {
  const tenths = Math.round(p * 10);
  if (tenths <= 0) return 'less than 1 chance in 10';
  if (tenths >= 10) return 'nearly certain';
  if (tenths === 5) return 'even chances';
  const [top, of] = tenths % 2 === 0 ? [tenths / 2, 5] : [tenths, 10];
  return `about ${top} ${top === 1 ? 'chance' : 'chances'} in ${of}`;
}

/** What stands under the title: what is missing, or whether waiting helps. */
export function pullNote(pull: Pull): string {
  if (pull.verdict !== 'too_few') {
    const more = `Waiting one more week helps: ${chanceWords(pull.p_more)}.`;
    return pull.is_pull_advised
      ? `${more} A week less is likelier to have been better: a good evening to pull it.`
      : more;
  }
  const wanted = `Log ${inWords(pull.log_more)} more${pull.reason === 'on_another_week' ? ', in another week' : ''}.`;
  return `${wanted} ${bestWeeksWords(pull)}`;
}

/** What stands under a decision: what to do, and what the forecast says, which may be otherwise. */
export function settledNote(pull: Pull): string {
  return `It was decided: decant it when it suits. ${bestWeeksWords(pull)}`;
}

/** Where the weeks came from before anybody tasted. */
export function priorWords(pull: Pull): string {
  const at = `week\u00a0${weekNumber(pull.prior_week)}`;
  switch (pull.prior_basis) {
    case 'keeper':
      return `Before any taste: ${at}, as planned when it was filled.`;
    case 'own_fills':
      return `Before any taste: ${at}, from the club’s own fills of this size and kind.`;
    default:
      return `Before any taste: ${at}, as usual for a barrel of this size.`;
  }
}

export function basisWords(pull: Pull): string {
  return `From ${counted(pull.scores, 'score', 'scores')} of ${counted(pull.tasters, 'taster', 'tasters')}. A liking is this club’s taste, not a verdict on quality.`;
}

/** How far the tasters agree; no figure where too little was shared. */
export function agreementWords(pull: Pull): string | null {
  const { agreement } = pull;
  if (!agreement) return null;
  const evenings = counted(agreement.evenings, 'shared evening', 'shared evenings');
  const figure = agreement.alpha === null ? '' : ` (alpha ${agreement.alpha.toFixed(2)})`;
  switch (agreement.verdict) {
    case 'firm':
      return `Its tasters agree well over ${evenings}${figure}.`;
    case 'tentative':
      return `Its tasters agree more or less over ${evenings}${figure}.`;
    case 'weak':
      return `Its tasters go different ways over ${evenings}${figure}.`;
    case 'no_spread':
      return `Over ${evenings} all scores are the same: agreement cannot be told.`;
    default:
      return `${capital(evenings)} so far: five are needed to say how far its tasters agree.`;
  }
}

export interface ScorePoint {
  id: string;
  person: string;
  day: Day;
  /** Weeks since the fill, from nought. */
  week: number;
  liking: number;
}

type Line = Pick<
  LogEntry,
  'id' | 'collection' | 'stay' | 'is_head' | 'is_void' | 'placement' | 'body' | 'author' | 'subject'
>;

/** The scores of a fill that stand, by week. */
export function scorePoints(
  log: readonly Line[],
  fill: string,
  started_at: string,
  timezone: string,
): ScorePoint[] {
  const from = dayIn(timezone, Date.parse(started_at));
  return log
    .filter(
      (line) =>
        line.collection === 'tastings' &&
        line.is_head &&
        !line.is_void &&
        line.placement === 'placed' &&
        line.body?.fill === fill,
    )
    .map((line) => ({
      id: line.id,
      person: line.subject ?? line.author,
      day: String(line.body!.tasted_on),
      week: Math.max(0, daysBetween(from, String(line.body!.tasted_on)) / 7),
      liking: Number(line.body!.liking),
    }))
    .sort((a, b) => a.day.localeCompare(b.day) || a.person.localeCompare(b.person));
}

/** Others' scores of an evening stay covered until one's own of that evening, or of a later one, is saved. */
export function uncovered(
  points: readonly ScorePoint[],
  me: string,
): { seen: ScorePoint[]; covered: number } {
  const mine = points.filter((point) => point.person === me).map((point) => point.day);
  const last = mine.sort().at(-1) ?? '';
  const seen = points.filter((point) => point.person === me || point.day <= last);
  return { seen, covered: points.length - seen.length };
}

/** Whether a line of the log is a score that its reader should not see before their own. */
export function isCovered(line: Line, barrel: Barrel | undefined, log: readonly Line[], me: string): boolean {
  const contents = barrel?.contents;
  if (line.collection !== 'tastings' || !contents?.may_taste || line.body?.fill !== contents.stay)
    return false;
  if ((line.subject ?? line.author) === me) return false;
  const day = String(line.body.tasted_on);
  return !log.some(
    (other) =>
      other.collection === 'tastings' &&
      other.is_head &&
      !other.is_void &&
      (other.subject ?? other.author) === me &&
      other.body?.fill === contents.stay &&
      String(other.body?.tasted_on) >= day,
  );
}

export function coveredWords(covered: number): string {
  return `${capital(counted(covered, 'score', 'scores'))} of others ${covered === 1 ? 'shows' : 'show'} when yours is saved.`;
}

/** The sentence that stands for the picture. */
export function pictureWords(
  pull: Pull,
  points: readonly ScorePoint[],
  nameOf: (id: string) => string,
): string {
  const given = points.map(
    (point) => `week ${weekNumber(point.week)}, ${nameOf(point.person)} ${point.liking}`,
  );
  const scores = given.length > 0 ? `Scores: ${given.join('; ')}.` : 'No score to show.';
  const course = pull.curve ? ` ${courseWords(pull)}` : '';
  return `Liking by week. ${scores}${course} ${bestWeeksWords(pull)}`;
}

function courseWords(pull: Pull): string {
  const curve = pull.curve!;
  const top = curve.mean.indexOf(Math.max(...curve.mean));
  return `The curve is highest about week ${weekNumber(curve.weeks[top] ?? 0)}, at ${curve.mean[top]!.toFixed(1)}.`;
}

/** Initials by person, unlike ones told apart. */
export function initialsBy(people: readonly string[], nameOf: (id: string) => string): Map<string, string> {
  const names = [...new Set(people)].map(nameOf);
  const short = initialsOf([...new Set(names)]);
  return new Map(people.map((person) => [person, short.get(nameOf(person)) ?? '?']));
}

export interface TableRow {
  week: number;
  expected: string;
  scores: string;
}

/** The picture as a table: a row a week. */
export function pullTable(
  pull: Pull,
  points: readonly ScorePoint[],
  nameOf: (id: string) => string,
): TableRow[] {
  const weeks = pull.curve?.weeks ?? [];
  const last = Math.max(
    weekNumber(weeks.at(-1) ?? 0) - 1,
    ...points.map((point) => weekNumber(point.week)),
    1,
  );
  return Array.from({ length: last }, (_, at) => at + 1).map((week) => ({
    week,
    expected: expectedIn(pull, week),
    scores: points
      .filter((point) => weekNumber(point.week) === week)
      .map((point) => `${nameOf(point.person)} ${point.liking}`)
      .join(', '),
  }));
}

/** The band at the middle of a week. */
function expectedIn(pull: Pull, week: number): string {
  const { curve } = pull;
  if (!curve) return '';
  const at = week - 0.5;
  const after = curve.weeks.findIndex((one) => one >= at);
  if (after < 0) return '';
  const before = Math.max(0, after - 1);
  const [a, b] = [curve.weeks[before]!, curve.weeks[after]!];
  const share = b > a ? (at - a) / (b - a) : 0;
  const between = (values: number[]): string =>
    (values[before]! + share * (values[after]! - values[before]!)).toFixed(1);
  return `${between(curve.low)} to ${between(curve.high)}`;
}
