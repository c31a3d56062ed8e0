"""An outbox as full as a test needs it, without so many taps."""

from playwright.sync_api import Page

# Copies of what the app itself has saved, each under a name and number of its own.
_FILL = """(count) => new Promise((resolve, reject) => {
  const open = indexedDB.open("tautbook");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const tx = open.result.transaction(["outbox", "meta"], "readwrite");
    const outbox = tx.objectStore("outbox");
    outbox.getAll().onsuccess = ({ target: { result } }) => {
      for (let n = result.length + 1; n <= count; n += 1) {
        const record = structuredClone(result[n % result.length]);
        record.id = record.entry.id = record.id.slice(0, -6) + String(n).padStart(6, "0");
        record.entry.device_seq = n;
        record.queue = [0, n];
        outbox.add(record);
      }
      tx.objectStore("meta").put(count, "device_seq");
    };
    tx.oncomplete = () => resolve(open.result.close());
    tx.onabort = () => reject(tx.error);
  };
})"""


def fill(page: Page, count: int) -> None:
    """Until the outbox holds `count` entries; some must be in it, and none of them sent."""
    page.evaluate(_FILL, count)
