"""A yard that is shut to somebody: the phone lets its round go and keeps what waits to be sent."""

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial

from playwright.sync_api import Page, expect

from tests import cast, factories
from tests.browser import steps
from tests.browser.phones import Phone
from tests.conftest import as_somebody
from yards.models import Grant

TOP_BARN, SALLOW = "Top Barn", "Sallow Field"
TEASEL, TANSY = str(cast.ref("Teasel")), str(cast.ref("Tansy"))
ROUNDS = "**/api/v1/rounds/**"
KEPT = """async ({ store }) => [
  (await store.all("rounds")).map(({ yard }) => yard.name).sort(),
  (await store.all("after")).map(({ id }) => id).sort(),
  (await store.all("queue")).map(({ id }) => id),
]"""
HAS_NONE_OF = """async (yard) => {
  const store = await import("/static/scoring/round/store.js");
  return (await store.all("rounds")).every((each) => each.yard.name !== yard);
}"""


def let_in(*yards: str) -> None:
    """Let Maud in to these yards from now on, and to no others."""
    with as_somebody("isolde") as viewer:
        before = Grant.objects.filter(person_id=cast.ref("maud"), revoked_at__isnull=True)
        before.update(revoked_at=datetime.now(UTC), revoked_by=viewer.person)
        grant = factories.GrantFactory.create(
            organisation_id=viewer.organisation, person_id=cast.ref("maud"), role="assessor"
        )
        for yard in yards:
            factories.grant_yard(grant, cast.ref(yard))


def asked_again(page: Page, says: str) -> None:
    page.click("[data-taking] button")
    expect(page.locator("[data-taking] p")).to_contain_text(says)


def test_its_round_leaves_the_phone_and_what_waits_stays(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    horses = sorted([*held.take(SALLOW), *held.take(TOP_BARN)])
    page = held.page
    # Somebody else's page in our place says nothing of the yard.
    page.route(ROUNDS, lambda route: route.fulfill(status=404, content_type="text/html", body="Hi"))
    asked_again(page, "Load this page again")
    page.unroute(ROUNDS)
    held.offline()
    entered = held.score(TEASEL)
    assert held.do(KEPT) == [[SALLOW, TOP_BARN], horses, entered]
    held.apart(partial(let_in, SALLOW))
    held.offline(False)
    asked_again(page, "what waits to be sent is kept")
    held.wait(needs_you=1)
    left = sorted({*horses} - {TEASEL, str(cast.ref("Sorrel Lad"))})
    assert held.do(KEPT) == [[SALLOW], left, entered]
    # Where the open yards are listed, and at a horse's page that is refused.
    held.apart(partial(let_in, TOP_BARN, SALLOW))
    held.take(TOP_BARN)
    for path, yard, other in (
        ("/round/", TOP_BARN, SALLOW),
        (f"/horses/{TANSY}/score/", SALLOW, TOP_BARN),
    ):
        held.apart(partial(let_in, other))
        page.goto(path)
        steps.until(page, HAS_NONE_OF, yard)
    assert held.do(KEPT) == [[], [], entered]
