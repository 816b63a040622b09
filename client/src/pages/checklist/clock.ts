/** The page's clock, in the form that events carry. */

/** Now as ISO 8601 with the offset of the place: `2026-11-25T09:30:00.000+01:00`. */
export function nowIso(date = new Date()): string {
  const offset = -date.getTimezoneOffset();
  const two = (n: number) => String(n).padStart(2, '0');
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}
