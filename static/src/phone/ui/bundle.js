/**
 * Bundles that come only when they are wanted; the service worker holds them from the start.
 * @param {string} address @param {string} name  what the bundle calls itself on the page
 * @returns {Promise<any>}
 */
export async function bundle(address, name) {
  if (!(name in globalThis)) await import(address);
  return /** @type {any} */ (globalThis)[name];
}
