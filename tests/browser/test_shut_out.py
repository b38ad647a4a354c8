"""A vet whose access ends, by a hand, by its time or with the account: the open tab, the phone's
queue and the file each say so at once, and nothing that was entered is lost."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial

from playwright.sync_api import Page, expect

from tests import cast
from tests.browser.phones import SENDING, Phone, ids, kept
from tests.browser.test_round_people import FLUSH, revoke
from yards.models import User

TEASEL = str(cast.ref("Teasel"))
SAID = "[data-detail]"
SHUT = "Your account was shut by whoever runs this service"


def shut(key: str, open_again: bool) -> None:
    User.objects.filter(id=cast.ref(key)).update(is_active=open_again)


def watching(held: Phone) -> Page:
    """A tab on the board, whose clock the test sets: it asks by itself each half minute."""
    tab = held.opened()
    tab.clock.install()
    tab.goto("/")
    expect(tab.locator("[data-live-at]")).to_contain_text("Looked for changes")
    return tab


def is_told(held: Phone, tab: Page, said: str) -> None:
    """The tab that asks by itself, a plain click, a file, and what waits on the phone."""
    tab.clock.fast_forward(31_000)
    expect(tab.locator("[data-live-fault]")).to_contain_text(said)
    expect(tab.locator("[data-part] *")).to_have_count(0)
    held.page.get_by_text("Menu").first.click()
    held.page.locator("nav a", has_text="Horses").first.click()
    expect(held.page.locator(SAID)).to_contain_text(said)
    held.page.goto(f"/horses/{TEASEL}/readings.csv")
    expect(held.page.locator(SAID)).to_contain_text(said)
    held.page.goto(SENDING)
    held.do(FLUSH)
    held.wait(needs_you=1)
    waits = held.page.locator("[data-part=needs_you] li")
    expect(waits).to_contain_text(said)
    expect(waits).to_contain_text("What waits on this phone is kept.")
    expect(waits).to_contain_text("Ask")


def test_each_says_so_within_one_request_and_keeps_what_waits(
    served: str, phone: Callable[..., Phone]
) -> None:
    held, now = phone("keziah"), datetime.now(UTC)
    by = {"revoked_by": cast.ref("isolde"), "revoked_at": now}
    over = {"until_at": now, "issued_by": cast.ref("isolde")}
    ends = (
        (
            partial(revoke, "keziah", **by),
            partial(revoke, "keziah", revoked_at=None, revoked_by=None),
            "Isolde Kerr ended it",
        ),
        (
            partial(revoke, "keziah", **over),
            partial(revoke, "keziah", until_at=now + timedelta(days=30)),
            "as was set when Isolde Kerr let you in",
        ),
        (partial(shut, "keziah", False), partial(shut, "keziah", True), SHUT),
    )
    entered = []
    for end, back, said in ends:
        held.page.goto(f"/horses/{TEASEL}/")
        tab = watching(held)
        held.offline()
        entered += held.score(TEASEL)
        held.apart(end)
        held.offline(False)
        is_told(held, tab, said)
        tab.close()
        held.apart(back)
        held.do(FLUSH)
        held.wait(sent=len(entered), needs_you=0)
    assert ids(kept(served)) == sorted(entered)
