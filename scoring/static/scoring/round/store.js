// What this phone keeps, in IndexedDB. Everything that reads or writes it goes through here.
//
// rounds   a yard as it was taken along                          by the yard's id
// after    what may be shown once a horse has its score          by the horse's id
// drafts   a form that is not finished                           by key
// queue    what waits to be sent, needs somebody, or was sent    by id
// photos   bytes of a photo, of a draft or of the queue          by id
// meta     who works here, and what else there is one of         by key
//
// An upgrade only ever adds: a queue that an older version filled is read by every newer one, and a
// page of an older version still works on a newer store.

const NAME = "halfpoint";
const STRICT = { durability: "strict" };

const UPGRADES = [
  (db) => {
    db.createObjectStore("rounds", { keyPath: "yard.id" });
    for (const name of ["after", "queue", "photos"]) db.createObjectStore(name, { keyPath: "id" });
    for (const name of ["drafts", "meta"]) db.createObjectStore(name, { keyPath: "key" });
  },
  // What follows an item is asked for whenever the item goes, or is renamed.
  (db, stores) => stores("queue").createIndex("after", "after"),
];
export const VERSION = UPGRADES.length;

// Thrown when this phone could not keep something.
// why: full | private | blocked | failed | nobody | gone
export class NotKept extends Error {
  constructor(why, cause) {
    super(`not kept: ${why}`, { cause });
    this.name = "NotKept";
    this.why = why;
  }
}

const notKept = (error) => {
  if (error instanceof NotKept) return error;
  return new NotKept(error?.name === "QuotaExceededError" ? "full" : "failed", error);
};

export const asked = (request) =>
  new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

// A tab that an older version left open may keep a newer one out of the store: it is asked to let
// go, and is given this long.
const PATIENCE_MS = 3000;

const connected = (version) =>
  new Promise((done, failed) => {
    const request = indexedDB.open(NAME, version);
    let late = 0;
    request.onblocked = () => {
      late = setTimeout(() => { late = null; failed(new NotKept("blocked")); }, PATIENCE_MS);
    };
    request.onupgradeneeded = ({ oldVersion }) => {
      const stores = (name) => request.transaction.objectStore(name);
      for (const step of UPGRADES.slice(oldVersion)) step(request.result, stores);
    };
    request.onsuccess = () => {
      // Nobody waits for it any more: it must not stand in another's way.
      if (late === null) return request.result.close();
      clearTimeout(late);
      return done(request.result);
    };
    request.onerror = () => { clearTimeout(late); failed(request.error); };
  });

const connect = async () => {
  try {
    // A newer version of us made the store newer: what it added does not hinder us.
    return await connected(VERSION).catch((error) => {
      if (error?.name === "VersionError") return connected(undefined);
      throw error;
    });
  } catch (error) {
    if (error instanceof NotKept) throw error;
    // A private window, storage that was forbidden, or a disk without room for the first byte.
    throw new NotKept(error?.name === "QuotaExceededError" ? "full" : "private", error);
  }
};

let opening = null;
const connection = () => {
  opening ??= connect().then(
    (db) => {
      const forget = () => { opening = null; };
      // Another tab brings a newer version: let it, and open again when next asked.
      db.onversionchange = () => { db.close(); forget(); };
      db.onclose = forget;
      return db;
    },
    (error) => { opening = null; throw error; },
  );
  return opening;
};

const transaction = async (names, mode) => {
  const start = async () => (await connection()).transaction(names, mode, STRICT);
  try {
    return await start();
  } catch (error) {
    if (error?.name !== "InvalidStateError") throw notKept(error);
    opening = null; // closed between being handed out and being used
    return start();
  }
};

// Do `work(store, ...)` on the named stores in one transaction. Resolves with what it returns, and
// only once that is on the disk; if it throws, or the disk refuses, nothing of it has happened.
export const change = async (names, work) => {
  const tx = await transaction(names, "readwrite");
  const durable = new Promise((done, failed) => {
    tx.oncomplete = done;
    tx.onabort = () => failed(tx.error);
  });
  const stores = [].concat(names).map((name) => tx.objectStore(name));
  try {
    const [made] = await Promise.all([work(...stores), durable]);
    return made;
  } catch (error) {
    // What ended the transaction says more than the request that went down with it.
    const cause = tx.error ?? error;
    try { tx.abort(); } catch { /* it is over already */ }
    throw notKept(cause);
  }
};

export const get = async (name, key) =>
  asked((await transaction(name, "readonly")).objectStore(name).get(key));
export const all = async (name) =>
  asked((await transaction(name, "readonly")).objectStore(name).getAll());
export const put = (name, row) => change(name, (store) => asked(store.put(row)));
export const drop = (name, key) => change(name, (store) => asked(store.delete(key)));

// Open the store now, so that a page learns at once when nothing can be kept here.
export const open = async () => {
  await connection();
  return { get, all, put, drop, change };
};

// Ask the browser not to clear what we keep. Returns whether it promised.
export const persist = async () => {
  try {
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return false;
  }
};
