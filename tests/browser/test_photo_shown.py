"""A photo on a horse's page is drawn by a real browser, under the page's own content policy."""

import pytest

from tests import cast, photos
from tests.api.asking import Asker
from tests.browser import steps
from tests.browser.conftest import PHONE, Open

PAGE = f"/horses/{cast.ref('Teasel')}/"
DRAWN = "(img) => img.complete && img.naturalWidth"


@pytest.fixture
def kept(database: str) -> str:
    """The address of a photo of Teasel, kept before the browser starts."""
    sent = photos.form("horse", cast.ref("Teasel"), photos.jpeg((2000, 1500)), side="mark")
    made = Asker("maud").post("photos/", sent)
    assert made.status_code == 201
    return f"/api/v1/photos/{made.json()['id']}/image/"


def test_a_photo_is_drawn_small_and_leads_to_itself(kept: str, opened: Open) -> None:
    page = opened(PHONE)
    steps.bring_session(page, "maud")
    page.goto(PAGE)
    shot = page.get_by_role("img", name="Teasel, a mark")
    shot.scroll_into_view_if_needed()
    steps.until(page, f"() => ({DRAWN})(document.querySelector('.shots img')) > 0")
    assert shot.evaluate(DRAWN) == 1600
    box = shot.bounding_box()
    assert box is not None
    assert (round(box["width"]), round(box["height"])) == (144, 108)
    assert page.locator(".shots a").get_attribute("href") == kept
