// What this phone keeps for itself until the feed has it: calls that wait, and a few notes by name. In the browser's
// durable storage (IndexedDB); where that is refused, in nothing but the page's own memory, and it says so.

const NAME = "fivemark-judge";
const CALLS = "calls";
const NOTES = "notes";
// Some browsers never answer the first question for their storage; the judge cannot wait for them.
const OPEN_WITHIN_MS = 3000;

// Opens the storage. Never fails: a store without storage says `fault: "refused"`.
export async function openStore(factory = storageOfThisPage(), withinMs = OPEN_WITHIN_MS) {
  let given = false;
  const late = new Promise((resolve) => setTimeout(() => resolve(null), withinMs));
  const opened = open(factory).catch(() => null);
  // One that comes too late is closed again: the page works without by then.
  opened.then((database) => given && database && database.close());
  const database = await Promise.race([opened, late]);
  given = true;
  return new Store(database);
}

function storageOfThisPage() {
  try {
    return globalThis.indexedDB || null;
  } catch {
    return null;
  }
}

function open(factory) {
  return new Promise((resolve, reject) => {
    const asked = factory.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore(CALLS, { keyPath: "seq" });
      asked.result.createObjectStore(NOTES);
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

export class Store {
  constructor(database) {
    this.database = database;
    // What is wrong: null, "refused" (no storage) or "full" (the last write failed).
    this.fault = database ? null : "refused";
    // Told whenever `fault` changes.
    this.onFault = () => {};
  }

  // Everything that is kept: `{ calls, notes }`, calls in the order in which they were made.
  async load() {
    const nothing = { calls: [], notes: {} };
    if (!this.database) return nothing;
    try {
      const reading = this.database.transaction([CALLS, NOTES], "readonly");
      const notes = reading.objectStore(NOTES);
      const [calls, names, values] = await Promise.all(
        [reading.objectStore(CALLS).getAll(), notes.getAllKeys(), notes.getAll()].map(result),
      );
      return { calls, notes: Object.fromEntries(names.map((name, index) => [name, values[index]])) };
    } catch {
      this.fail("refused");
      return nothing;
    }
  }

  // Keeps calls, lets others go (by their `seq`), and keeps notes, all of it or nothing. True once it is on the disk.
  async keep({ calls = [], gone = [], notes = {} }) {
    if (!this.database) return false;
    try {
      await written(this.database, calls.length > 0, (writing) => {
        for (const call of calls) writing.objectStore(CALLS).put(call);
        for (const seq of gone) writing.objectStore(CALLS).delete(seq);
        for (const [name, value] of Object.entries(notes)) writing.objectStore(NOTES).put(value, name);
      });
      this.fail(null);
      return true;
    } catch {
      this.fail("full");
      return false;
    }
  }

  fail(fault) {
    if (this.fault === fault) return;
    this.fault = fault;
    this.onFault(fault);
  }
}

function result(asked) {
  return new Promise((resolve, reject) => {
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

// A call has to outlive a battery that dies: the strict kind waits for the disk. What is let go, and notes, need not.
// Browsers that don't know the words leave them aside.
function written(database, strict, write) {
  return new Promise((resolve, reject) => {
    const writing = database.transaction([CALLS, NOTES], "readwrite", { durability: strict ? "strict" : "relaxed" });
    writing.oncomplete = () => resolve();
    writing.onerror = writing.onabort = () => reject(writing.error);
    write(writing);
  });
}
