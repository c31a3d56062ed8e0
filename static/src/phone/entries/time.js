/** @param {number} n @param {number} width */
const padded = (n, width) => String(n).padStart(width, "0");

/**
 * Wall time with its zone, as RFC 3339 writes it: `2026-11-25T10:42:07.123+01:00`.
 *
 * @param {number} ms since 1970
 * @param {number} zoneMinutes minutes east of UTC
 */
export function stamp(ms, zoneMinutes) {
  const local = new Date(Math.floor(ms) + zoneMinutes * 60_000).toISOString().slice(0, -1);
  const away = Math.abs(zoneMinutes);
  const sign = zoneMinutes < 0 ? "-" : "+";
  return `${local}${sign}${padded(Math.floor(away / 60), 2)}:${padded(away % 60, 2)}`;
}

/**
 * When an entry happened by the server's clock, as far as the phone knew it at save.
 *
 * @param {{occurred_at: string, clock_offset_ms: number}} entry
 * @returns {number} ms since 1970
 */
export function correctedMs(entry) {
  return Date.parse(entry.occurred_at) + entry.clock_offset_ms;
}

/** @param {number} ms */
export const utc = (ms) => new Date(ms).toISOString();
