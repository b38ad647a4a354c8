"""A phone on a round: one browser profile that takes rounds along, keeps, sends and is killed.

What is entered here goes through the app's own modules, loaded in its own pages.
"""

import json
import os
import signal
import time
import urllib.request
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

from django.db import connections
from playwright.sync_api import BrowserContext, Page, Playwright, Request

from scoring.models import Photo
from tests import cast
from tests.browser import steps
from tests.conftest import chromium, viewer_of
from yards import isolation

MODULES = ("queue", "send", "store", "drafts", "take", "ids", "who", "said")
FOLDER = "/static/scoring/round/"
SENDING = "/round/sending/"
INSTALLED = """navigator.serviceWorker.getRegistration()
  .then((it) => it?.active?.state === "activated")"""
_RUN = """async ([folder, names, given]) => {
  const made = await Promise.all(names.map((name) => import(`${folder}${name}.js`)));
  const app = Object.fromEntries(names.map((name, at) => [name, made[at]]));
  return await (%s)(app, ...given);
}"""
# A score of a horse, the same for all but its id; photos are drawn, so that no two are alike.
_SCORE = """async ({ queue, ids }, horses, more) => {
  const made = [];
  for (const horse of horses) {
    const id = more.id ?? ids.uuid7();
    const body = {
      id, horse, taken_at: new Date().toISOString(), scale: "five", manner: "palpated",
      regions: { neck_and_shoulder: "2.5", back_and_ribs: "3.0", hindquarters: "2.5" }, ...more,
    };
    if (!body.regions) delete body.regions;
    await queue.add({ kind: "assessment", id, body, about: { horse, name: horse, yard: "" } });
    made.push(id);
  }
  return made;
}"""
# A clock that is wrong by `wrong` milliseconds, for a page's beginning.
CLOCK = """(by) => {
  globalThis.wrong = by;
  const Real = Date;
  globalThis.Date = class extends Real {
    constructor(...given) { super(...(given.length ? given : [Real.now() + globalThis.wrong])); }
    static now() { return Real.now() + globalThis.wrong; }
  };
}"""
_PHOTO = """async ({ queue, ids }, readings, sides) => {
  for (const [at, of_id] of readings.entries()) {
    for (const side of sides) {
      const canvas = Object.assign(document.createElement("canvas"), { width: 320, height: 240 });
      const pen = canvas.getContext("2d");
      pen.fillText(`${at} ${side}`, 20, 40);
      const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg"));
      const body = { of: "assessment", of_id, side, taken_at: new Date().toISOString() };
      const about = { horse: of_id, name: side, yard: "" };
      await queue.add({ kind: "photo", id: ids.uuid7(), body, blob, about, after: of_id });
    }
  }
}"""


def switched_on(playing: Playwright, profile: Path, url: str) -> BrowserContext:
    """Open the browser of a profile, which it finds as it was left."""
    return playing.chromium.launch_persistent_context(
        str(profile),
        base_url=url,
        viewport={"width": 390, "height": 844},
        locale="en-GB",
        **chromium(),
    )


class Phone:
    """One profile of a browser, with a page open in it."""

    def __init__(self, context: BrowserContext, url: str) -> None:
        self.context, self.url = context, url
        self.complaints: list[str] = []
        context.set_default_timeout(20_000)
        self.page = self.opened()

    def opened(self) -> Page:
        """Open another tab."""
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("request", self._asked)
        return page

    def _asked(self, request: Request) -> None:
        """Nothing may be asked of anybody else."""
        if not request.url.startswith((self.url, "data:", "blob:", "about:")):
            self.complaints.append(f"asked elsewhere: {request.url}")

    def reopened(self, *, wrong: timedelta = timedelta()) -> Page:
        """Open another tab in place of the first, with a clock that is wrong by so much."""
        self.page.close()
        self.page = self.opened()
        self.page.add_init_script(f"({CLOCK})({int(wrong.total_seconds() * 1000)})")
        return self.page

    def sign_in(self, key: str, *, by_form: bool = False) -> None:
        """Sign somebody in, and wait until the app is installed."""
        (steps.sign_in_by_form if by_form else steps.sign_in)(self.page, key)
        until = time.monotonic() + 60
        while not self.page.evaluate(INSTALLED):
            assert time.monotonic() < until, "the app was not installed"
            time.sleep(0.1)

    def do(self, work: str, *given: Any, page: Page | None = None) -> Any:
        """Call ``work(app, ...given)``, ``app`` being the app's modules, in a page."""
        where = page or self.page
        return where.evaluate(_RUN % work, [FOLDER, MODULES, list(given)])

    def take(self, yard: str) -> list[str]:
        """Take a yard's round along by its page's button; return the ids of its horses."""
        self.page.goto(f"/round/{cast.ref(yard)}/")
        self.page.click("[data-taking] button")
        self.page.wait_for_selector("[data-taking] p:has-text('Downloaded')")
        told: list[str] = self.do(
            "({ take }, yard) => take.roundOf(yard).then((it) => it.horses.map((each) => each.id))",
            str(cast.ref(yard)),
        )
        return told

    def score(self, *horses: str, **more: Any) -> list[str]:
        """Enter a score of each horse; return their ids once they are on the phone."""
        made: list[str] = self.do(_SCORE, list(horses), more)
        return made

    def photograph(self, readings: list[str], *sides: str) -> None:
        """Take photos of what was scored."""
        self.do(_PHOTO, readings, list(sides))

    def counts(self) -> dict[str, int]:
        """How many things on the phone are in each state."""
        found: dict[str, int] = self.do("({ said }) => said.counts()")
        return found

    def wait(self, seconds: float = 30, **counts: int) -> None:
        """Wait until so many things are in each state named."""
        until = time.monotonic() + seconds
        while (found := self.counts()) != {**found, **counts}:
            assert time.monotonic() < until, found
            time.sleep(0.1)

    def photos(self) -> int:
        """How many photos the server keeps."""
        found: list[int] = []

        def count() -> None:
            with isolation.of(viewer_of("isolde")):
                found.append(Photo.objects.count())

        self.apart(count)
        return found[0]

    def limit(self, room: int) -> None:
        """Allow the app so many bytes of storage, before it has kept anything."""
        self.devtools = self.context.new_cdp_session(self.page)
        self.devtools.send(
            "Storage.overrideQuotaForOrigin", {"origin": self.url, "quotaSize": room}
        )

    def offline(self, away: bool = True) -> None:
        """Go out of reach, or come back."""
        self.context.set_offline(away)

    def apart(self, work: Callable[[], None]) -> None:
        """Do something with the database: not on the browser's thread, which Django refuses."""
        with ThreadPoolExecutor(1) as beside:
            beside.submit(_then_closed, work).result()

    def kill(self, profile: Path) -> None:
        """End the browser of a profile as a phone does that runs out of battery."""
        for number in running(profile):
            os.kill(number, signal.SIGKILL)


def running(profile: Path) -> list[int]:
    """The numbers of a profile's browser: its first process, and the script that started it."""
    found = []
    for each in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):  # it has ended in between
            words = each.read_bytes().decode(errors="replace").split("\0")
            if f"--user-data-dir={profile}" in words and "--type=" not in " ".join(words):
                found.append(int(each.parent.name))
    return found


def _then_closed(work: Callable[[], None]) -> None:
    try:
        work()
    finally:
        connections.close_all()


def kept(url: str, what: str = "assessments", key: str = "isolde") -> list[dict[str, Any]]:
    """All that the server keeps of a kind, asked by a coordinator's program."""
    found: list[dict[str, Any]] = []
    path = f"/api/v1/{what}/"
    while path:
        request = urllib.request.Request(
            path if path.startswith("http") else url + path,
            headers={"Authorization": f"Token {cast.token(key)}"},
        )
        with urllib.request.urlopen(request, timeout=20) as answer:
            page = json.load(answer)
        found += page["results"]
        path = page["next"] or ""
    return found


def record(url: str, body: dict[str, Any], key: str = "maud") -> None:
    """Record a score by somebody's program."""
    request = urllib.request.Request(
        f"{url}/api/v1/assessments/",
        data=json.dumps(body).encode(),
        headers={"Authorization": f"Token {cast.token(key)}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request, timeout=20) as answer:
        assert answer.status == 201


def ids(rows: list[dict[str, Any]]) -> list[str]:
    """The ids of rows, in order."""
    return sorted(each["id"] for each in rows)
