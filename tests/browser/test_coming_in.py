"""Coming in with a real browser: by an invitation's link, and with a key as a second factor.

The pages on the way are looked at by axe, since nobody of the matrix comes by them.
"""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

from django.db import connections
from playwright.sync_api import Page

from tests import cast
from tests.browser.conftest import Open
from tests.browser.test_accessible import faults, read_out
from tests.conftest import as_somebody
from yards.actions import invitations, letter_words

ASKED = {"email": "vet@example.org", "role": "vet", "yards": "all"}
NUMBER = {"registration_number": "7002002", "register": "invented register"}
LINK = re.compile(r"https?://[^/]+(/invitations/\S+)")


def link() -> str:
    """Invite a vet, and return the link as the letter has it."""
    try:
        now = datetime.now(UTC)
        with as_somebody("isolde") as viewer:
            made = invitations.invite(viewer, {**ASKED, **NUMBER}, now=now)
        letter = letter_words.invitation(viewer.organisation, made.ref, "<a@example.org>", now)
        assert letter is not None
        found = LINK.search(str(letter.body))
        assert found is not None
        return found[1]
    finally:
        connections.close_all()


def with_a_key(page: Page) -> None:
    """Plug a key into the browser, as its own tools for developers make one."""
    tools = page.context.new_cdp_session(page)
    tools.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    tools.send("WebAuthn.addVirtualAuthenticator", {"options": options})


def test_a_vet_opens_the_link_chooses_a_password_and_is_at_the_board(opened: Open) -> None:
    with ThreadPoolExecutor(1) as beside:
        address = beside.submit(link).result()
    page = read_out(opened)
    page.goto(address)
    found = faults(page, "an invitation")
    page.get_by_label("Your name").fill("Dr Ada Moss")
    page.get_by_label("Choose a password").fill("short")
    page.get_by_role("button", name="Come in").click()
    page.wait_for_selector("#faults")
    found += faults(page, "an invitation put right")
    page.get_by_label("Choose a password").fill("seven wet ponies in a row")
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url(re.compile(r":\d+/$"))
    assert "Dr Ada Moss" in page.locator(".me").inner_text()
    assert found == []


def test_a_key_is_added_and_asked_for_at_the_next_sign_in(served: str, opened: Open) -> None:
    """At localhost, since a key belongs to a name and never to a number."""
    page, here = read_out(opened), served.replace("127.0.0.1", "localhost")
    with_a_key(page)
    page.goto(f"{here}/accounts/login/")
    sign_in(page)
    page.wait_for_url(f"{here}/")
    page.goto(f"{here}/accounts/2fa/keys/add/")
    page.get_by_role("button", name="Add it").click()
    page.wait_for_url("**/accounts/2fa/codes/")
    found = faults(page, "spare codes")
    for path in ("keys/", "", "codes/new/"):
        page.goto(f"{here}/accounts/2fa/{path}")
        found += faults(page, f"2fa/{path}")
    page.get_by_role("link", name="Back to your second factor").click()
    page.context.clear_cookies()
    page.goto(f"{here}/accounts/login/")
    sign_in(page)
    page.wait_for_url("**/accounts/2fa/authenticate/")
    found += faults(page, "one more step")
    page.get_by_role("button", name="Use a key").click()
    page.wait_for_url(f"{here}/")
    assert found == []


def sign_in(page: Page) -> None:
    """Fill in the form that is open."""
    page.fill("input[type=email]", "maud@example.org")
    page.fill("input[type=password]", cast.PASSWORD)
    page.click("main button[type=submit]")
