"""A round of sixteen horses out of reach, with photos, through a reload and a killed browser.

Each is there once when the phone is home, and none is missing.
"""

import re
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from scoring.actions import standing
from tests import cast, factories
from tests.browser import lossy, phones
from tests.browser.phones import Phone, ids, kept
from tests.cast import BEGAN
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Yard

TOP_BARN = str(cast.ref("Top Barn"))
SIXTEEN = 16


@pytest.fixture
def herd(database: str) -> None:
    """Fourteen more horses in Top Barn."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        barn = Yard.objects.get(ref=cast.ref("Top Barn"))
        for number in range(SIXTEEN - 2):
            animal: Any = factories.HorseFactory(  # type: ignore[no-untyped-call]
                organisation_id=viewer.organisation, name=f"Moor {number}", yard=barn, born="2012"
            )
            standing.make(viewer, animal, BEGAN)


def revived(playing: Playwright, held: Phone, profile: Path, url: str) -> Phone:
    """Kill the browser and open it again on the same profile."""
    held.kill(profile)
    for _ in range(100):
        if not phones.running(profile):
            break
        time.sleep(0.1)
    (profile / "SingletonLock").unlink(missing_ok=True)
    return Phone(phones.switched_on(playing, profile, url), url)


def test_sixteen_horses_with_photos_come_home_once_each(
    herd: None, playing: Playwright, served: str, link: lossy.Link, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    held = Phone(phones.switched_on(playing, profile, link.url), link.url)
    held.sign_in("maud")
    horses = held.take("Top Barn")
    assert len(horses) == SIXTEEN
    held.offline()
    entered = held.score(*horses[:8])
    held.photograph(entered, "left", "rear")
    # A reload out of reach comes from the phone, and finds what was entered.
    held.page.goto(phones.SENDING)
    expect(held.page.locator("[data-part=saved] > ul > li")).to_have_count(24)
    # Eight scores with two photos each are eight things that somebody did.
    expect(held.page.locator("[data-said]")).to_contain_text("waiting to send: 8.")
    # A page that needs the server becomes the round that was taken along.
    held.page.goto(f"/round/{TOP_BARN}/")
    expect(held.page.locator("[data-horses] > li")).to_have_count(SIXTEEN)
    said = re.compile(r"^Done\. Scored today at \d\d:\d\d by you, waiting to send")
    expect(held.page.locator(".done .entered")).to_have_text([said] * 8)
    expect(held.page.locator("[data-done]")).to_have_text("8 of 16 done today")
    more = held.score(*horses[8:])
    held.photograph(more, "left", "rear")
    # A browser that comes back sends at once: nothing of it may arrive yet.
    link.lose = lambda method, path: lossy.REQUEST if method == "POST" else ""
    held = revived(playing, held, profile, link.url)
    held.offline()
    held.page.goto(phones.SENDING)
    held.wait(saved=48)
    assert kept(served) == []
    link.lose = lambda method, path: ""
    held.offline(False)
    # The browser may have died before it wrote down who was signed in.
    held.context.clear_cookies()
    held.sign_in("maud", by_form=True)
    held.wait(90, sent=48, saved=0, sending=0, needs_you=0)
    assert ids(kept(served)) == sorted(entered + more)
    assert len({each["horse"] for each in kept(served)}) == SIXTEEN
    assert held.photos() == 2 * SIXTEEN
    assert held.do("({ store }) => store.all('photos').then((rows) => rows.length)") == 0
    assert held.complaints == []
    held.context.close()


def test_the_middle_of_a_horse_is_there_after_the_browser_was_killed(
    herd: None, playing: Playwright, served: str, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    held = Phone(phones.switched_on(playing, profile, served), served)
    held.sign_in("maud")
    held.take("Top Barn")
    draft = {"horse": TOP_BARN, "scale": "five", "step": "back_and_ribs", "values": {"note": "x"}}
    held.do("({ drafts }, draft) => drafts.keep('score', draft)", draft)
    held = revived(playing, held, profile, served)
    held.page.goto(phones.SENDING)
    found = held.do("({ drafts }) => drafts.take('score')")
    assert {name: found[name] for name in draft} == draft
    assert held.do("({ take }) => take.taken().then((rounds) => rounds.length)") == 1
    held.context.close()
