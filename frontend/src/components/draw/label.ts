/** What a picture is to a reader: one image with one sentence, or nothing where the words beside it say it all. */
export function asPicture(
  label: string | undefined,
): { role: 'img'; 'aria-label': string } | { 'aria-hidden': true } {
  return label ? { role: 'img', 'aria-label': label } : { 'aria-hidden': true };
}
