/** Numbers that a person types for the page itself: pad travel, not the design. */

const INCH = 25.4;
const NUMBER = /^([\d.]+)?(?:(?:^|[ -]+)(\d+)\/(\d+))?\s*(mm|in|"|)$/;

/** Return a length in mm, or null where it cannot be read. */
export function readLength(text, units) {
  const found = NUMBER.exec(text.trim().replace(",", "."));
  if (!found || (found[1] === undefined && found[2] === undefined)) return null;
  const value = Number(found[1] ?? 0) + (found[2] ? Number(found[2]) / Number(found[3]) : 0);
  const unit = found[4] === "" ? units : found[4];
  const mm = value * (unit === "mm" ? 1 : INCH);
  return Number.isFinite(mm) ? mm : null;
}
