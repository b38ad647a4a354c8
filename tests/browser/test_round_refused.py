"""What the server refuses stays on the phone with its reason until a person has settled it."""

from collections.abc import Callable
from datetime import UTC, datetime

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Locator, expect

from tests import cast
from tests.browser.phones import SENDING, Phone, ids, kept, record
from tests.conftest import as_somebody
from yards.actions import restrictions

TEASEL, TANSY = str(cast.ref("Teasel")), str(cast.ref("Tansy"))
GORSE = str(cast.ref("Gorse"))  # the other organisation's
THERE = {
    "id": "01936d3e-7a00-7000-8000-00000000abcd",
    "horse": TEASEL,
    "taken_at": "2026-04-01T08:59:00Z",
    "scale": "five",
    "manner": "palpated",
    "regions": {"neck_and_shoulder": "3.0", "back_and_ribs": "3.0", "hindquarters": "3.0"},
}


def refused(held: Phone, horse: str, **more: object) -> Locator:
    """Enter what will be refused beside what will not; return its block on the page."""
    held.page.goto(SENDING)
    held.score(horse, **more)
    held.score(TANSY)
    held.wait(sent=1, needs_you=1)
    return held.page.locator("[data-part=needs_you] ul > li")


def test_it_is_shown_with_its_reason_mended_and_sent(
    served: str, phone: Callable[..., Phone]
) -> None:
    record(served, THERE)
    held = phone()
    held.take("Top Barn")
    what = refused(held, TEASEL, crest="7.0")
    expect(what).to_have_count(1)
    expect(what).to_contain_text("Put right what it names")
    field = what.get_by_label("Crest")
    expect(field).to_have_value("7.0")
    held.page.evaluate(AXE_SCRIPT)
    found = held.page.evaluate("axe.run({resultTypes: ['violations']})")
    assert [each["id"] for each in found["violations"]] == []
    # It is there again after a reload, and keeps what is being typed while other things move.
    held.page.reload()
    field.fill("3.0")
    held.score(TANSY)
    held.wait(sent=2, needs_you=1)
    expect(field).to_have_value("3.0")
    what.get_by_role("button", name="Save and send again").click()
    held.wait(sent=3, needs_you=0)
    expect(held.page.locator("[data-part=sent] ul > li")).to_have_count(3)
    # Another organisation's horse is refused by name, and another is chosen.
    held.score(GORSE)
    held.wait(needs_you=1)
    what.get_by_label("Animal").select_option(label="Teasel")
    what.get_by_role("button", name="Save and send again").click()
    held.wait(sent=4, needs_you=0)
    expect(held.page.locator("[data-part=sent] h3", has_text="Teasel")).to_have_count(1)
    expect(held.page.locator("[data-part=sent] h3", has_text=GORSE)).to_have_count(0)
    # What the server holds otherwise is sent as one of its own.
    held.score(TEASEL, id=THERE["id"], note="changed")
    held.wait(needs_you=1)
    expect(what).to_contain_text("holds something else under the same number")
    what.get_by_role("button", name="Send as one of its own").click()
    held.wait(sent=5, needs_you=0)
    rows = [each for each in kept(served) if each["horse"] == TEASEL]
    assert sorted(each["note"] for each in rows) == ["", "", "", "changed"]
    assert sorted(each["crest"] or "" for each in rows) == ["", "", "", "3.0"]
    assert len(set(ids(kept(served)))) == 6


def test_only_a_person_who_agrees_removes_it(phone: Callable[..., Phone]) -> None:
    held = phone()
    what = refused(held, GORSE)
    dialog = held.page.locator("dialog")
    for answer, left in (("Keep it", 1), ("Remove from this phone", 0)):
        what.get_by_role("button", name="Remove from this phone").click()
        expect(dialog).to_contain_text("nobody can bring it back")
        dialog.get_by_role("button", name=answer).click()
        expect(dialog).to_be_hidden()
        expect(what).to_have_count(left)
        held.page.reload()
        held.wait(needs_you=left)


def close() -> None:
    """Restrict Teasel to the vet, while Maud's phone is away."""
    with as_somebody("isolde") as viewer:
        sealed = {"people": [str(cast.ref("keziah"))], "reason": "Seized"}
        restrictions.restrict(viewer, cast.ref("Teasel"), sealed, now=datetime.now(UTC))


def test_a_horse_closed_meanwhile_leaves_the_round_and_what_was_felt_of_it_waits(
    served: str, phone: Callable[..., Phone]
) -> None:
    held = phone()
    assert TEASEL in held.take("Top Barn")
    held.offline()
    [felt] = held.score(TEASEL, note="felt before I heard")
    held.apart(close)
    held.offline(False)
    held.wait(needs_you=1)
    assert TEASEL not in held.take("Top Barn")
    assert held.do("({ store }) => store.all('after').then((all) => all.map(({ id }) => id))") == [
        str(cast.ref("Sorrel Lad"))
    ]
    [waits] = held.do("({ queue }) => queue.all()")
    assert (waits["id"], waits["body"]["note"]) == (felt, "felt before I heard")
    held.page.goto(SENDING)
    what = held.page.locator("[data-part=needs_you] ul > li")
    expect(what).to_contain_text("Nothing in your reach has this id")
    assert kept(served) == []
