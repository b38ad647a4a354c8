"""Storage that is full, and a store that an older version of the app left."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests import cast
from tests.browser.phones import SENDING, Phone, ids, kept

TEASEL = str(cast.ref("Teasel"))
FLUSH = "({ send }) => send.flushNow()"
# A photo of so many times 64 KiB, none of which can be made shorter; it is never sent.
LARGE = """async ({ queue, ids }, times) => {
  const pieces = Array.from({ length: times }, () => crypto.getRandomValues(new Uint8Array(65536)));
  try {
    const blob = new Blob(pieces);
    await queue.add({ kind: "photo", id: ids.uuid7(), body: { of: "horse" }, blob });
    return "kept";
  } catch (error) {
    return `${error.name} ${error.why}`;
  }
}"""
# To the last byte: pieces that get smaller, each size until it is refused.
FILL = """async ({ store }) => {
  for (let size = 65536, at = 0; size >= 64; size /= 4) {
    for (let full = false; !full; at += 1) {
      const bytes = crypto.getRandomValues(new Uint8Array(size));
      full = await store.put("meta", { key: `fill ${at}`, bytes }).then(() => false, () => true);
    }
  }
}"""
EMPTIED = """({ store }) => store.change("meta", async (meta) => {
  meta.delete(IDBKeyRange.bound("fill", "fill~"));
})"""
ROOM = 6_000_000
# The first version's store, as its code made it, with one reading that it could not send.
VERSION_1 = """([person, organisation, body]) => new Promise((done, failed) => {
  const request = indexedDB.open("halfpoint", 1);
  request.onerror = () => failed(request.error);
  request.onupgradeneeded = () => {
    const db = request.result;
    db.createObjectStore("rounds", { keyPath: "yard.id" });
    for (const name of ["after", "queue", "photos"]) db.createObjectStore(name, { keyPath: "id" });
    for (const name of ["drafts", "meta"]) db.createObjectStore(name, { keyPath: "key" });
  };
  request.onsuccess = () => {
    const db = request.result;
    const tx = db.transaction(["queue", "drafts", "meta"], "readwrite");
    tx.objectStore("queue").put({
      id: body.id, kind: "assessment", body, about: { horse: body.horse, name: "Teasel", yard: "" },
      person, organisation, personName: "Maud Pell", organisationName: "Quillet Moor",
      urgent: false, added_at: "2026-04-01T09:00:00.000Z", state: "saved", why: null, tries: 0,
    });
    tx.objectStore("meta").put({
      key: "who", person, organisation, personName: "Maud Pell", organisationName: "Quillet Moor",
    });
    tx.objectStore("drafts").put({ key: "score", step: "look", values: { note: "x" } });
    tx.oncomplete = () => { db.close(); done(true); };
    tx.onabort = () => failed(tx.error);
  };
})"""
BODY = {
    "id": "01936d3e-7a00-7000-8000-00000000abcd",
    "horse": TEASEL,
    "taken_at": "2026-04-01T08:59:00Z",
    "scale": "five",
    "manner": "palpated",
    "regions": {"neck_and_shoulder": "3.0", "back_and_ribs": "3.0", "hindquarters": "3.0"},
}


def test_full_storage_is_told_and_costs_nothing_that_was_kept(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(room=ROOM)
    held.page.goto(SENDING)
    held.offline()
    [entered] = held.score(TEASEL)
    assert held.do(LARGE, ROOM // 65536) == "NotKept full"
    expect(held.page.locator("[data-trouble]")).to_contain_text("the storage of this phone is full")
    held.wait(saved=1, needs_you=0)
    held.do("({ send }) => send.flush()")
    held.do(FILL)
    # Not even that it is being sent can be noted; it goes all the same.
    held.do("({ queue }, id) => queue.begin([id])", entered)
    assert held.counts()["saved"] == 1
    held.offline(False)
    held.do(FLUSH)
    held.wait(saved=0, sending=0, needs_you=0)
    assert ids(kept(served)) == [entered]


def test_what_is_put_right_on_a_full_phone_says_that_it_was_not_kept(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone(room=ROOM)
    held.page.goto(SENDING)
    held.score(TEASEL, crest="7.0")
    held.wait(needs_you=1)
    held.do(FILL)
    field = held.page.get_by_label("Crest")
    field.fill("3.0")
    field.press("Enter")
    expect(held.page.locator("[data-trouble]")).to_contain_text("the storage of this phone is full")
    expect(field).to_have_value("3.0")
    assert kept(served) == []
    # With room again, Enter is enough.
    held.do(EMPTIED)
    field.press("Enter")
    held.wait(sent=1, needs_you=0)
    assert [each["crest"] for each in kept(served)] == ["3.0"]


def emptied(page: Page) -> None:
    """Stand where no page of the app has the store open, and clear it."""
    page.goto("/healthz/live")
    page.evaluate(
        "new Promise((done) => { indexedDB.deleteDatabase('halfpoint').onsuccess = done; })"
        ".then(() => true)"
    )


def test_a_store_of_another_version_loses_nothing(served: str, phone: Callable[..., Phone]) -> None:
    held = phone()
    old = held.opened()
    held.page.goto("/healthz/live")
    emptied(old)
    # A tab of the older version that, unlike ours, does not let go of the store when it is asked.
    owner = [str(cast.ref("maud")), str(cast.ref(cast.QUILLET)), BODY]
    assert old.evaluate(VERSION_1.replace("db.close(); done", "window.held = db; done"), owner)
    held.page.goto(SENDING)
    expect(held.page.locator("[data-trouble]")).to_contain_text(
        "Close the other tabs", timeout=15_000
    )
    assert kept(served) == []
    old.close()
    # The newer app then sends what the older one left.
    held.page.reload()
    held.wait(sent=1, saved=0)
    assert ids(kept(served)) == [BODY["id"]]
    assert held.do("({ drafts }) => drafts.take('score').then((it) => it.values.note)") == "x"
    assert held.do("({ queue }) => queue.followers('none')") == []
    # And a page works on a store that a newer one made.
    held.page.goto("/healthz/live")
    held.page.evaluate(
        "new Promise((done, failed) => { const r = indexedDB.open('halfpoint', 99);"
        " r.onsuccess = () => { r.result.close(); done(true); }; r.onerror = failed; })"
    )
    held.page.goto(SENDING)
    [entered] = held.score(TEASEL)
    held.do(FLUSH)
    held.wait(sent=2, saved=0)
    assert ids(kept(served)) == sorted([str(BODY["id"]), entered])


def test_a_browser_that_keeps_nothing_says_so(phone: Callable[..., Phone]) -> None:
    held = phone()
    # As where site data is forbidden: the browser refuses before anything is opened.
    held.page.add_init_script(
        "Object.defineProperty(IDBFactory.prototype, 'open', { value() {"
        " throw new DOMException('forbidden', 'SecurityError'); } });"
    )
    held.page.goto(SENDING)
    expect(held.page.locator("[data-trouble]")).to_contain_text("keeps nothing on this phone")
