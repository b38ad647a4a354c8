"""The main job in a browser: a score goes in, the mail comes, the coordinator takes it on.

Real PostgreSQL, Valkey, gunicorn, Celery worker and beat, SMTP and Chromium; the season is the
yard's own, set to enclose today.
"""

import time

from playwright.sync_api import Browser, expect

from tests import mailbox
from tests.browser import steps
from tests.browser.conftest import PHONE, spring
from tests.journeys.conftest import Home

__all__ = ["spring"]

LONGEST = 30.0  # seconds to wait for mail before the test fails; it takes about one


def test_a_score_on_a_phone_reaches_the_coordinator_who_takes_it_on(
    spring: None, home: Home, browser: Browser
) -> None:
    size = {"width": PHONE[0], "height": PHONE[1]}
    barn = browser.new_context(base_url=home.url, viewport=size, locale="en-GB").new_page()  # type: ignore[arg-type]
    steps.sign_in_by_form(barn, "maud")
    steps.score_fat(barn)
    expect(barn.locator(".big")).to_contain_text("4.17")

    end = time.monotonic() + LONGEST
    while not home.mail.to("isolde@example.org"):
        assert time.monotonic() < end, "no mail came in time"
        time.sleep(0.1)
    [mail] = home.mail.to("isolde@example.org")
    assert "01632 960118" in mailbox.text_of(mail, "plain")

    office = browser.new_context(base_url=home.url, locale="en-GB").new_page()
    steps.sign_in_by_form(office, "isolde")
    expect(office.locator("tbody.decide")).to_contain_text("Teasel")
    office.click("text=Read alert")
    office.fill("input[name=next_step]", "Ferrow Vets visit on Friday")
    office.click("main button:has-text('Acknowledge')")
    expect(office.locator("main")).to_contain_text("Ferrow Vets visit on Friday")
    office.goto("/")
    expect(office.locator("tbody.decide")).to_have_count(0)
    # It still has to be weighed.
    row = office.locator(".assess_today tr", has_text="Teasel")
    expect(row).to_contain_text("Acknowledged")
