"""What the letters say: plain words, whom to ring, what not to do, in the reader's language."""

from collections.abc import Iterator
from email.message import EmailMessage
from typing import Any

import pytest

from scoring.actions import alerts, deliver
from tests import cast, mailbox
from tests.alarms import NOW, finding, raised
from yards.models import Horse, User, Yard

pytestmark = pytest.mark.usefixtures("no_standings")

CAUTION = "A condition score describes fat cover. It is not a diagnosis."
NUMBERS = ("01632 960118", "01632 960144", "01632 960171")


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def only(box: mailbox.Mailbox) -> EmailMessage:
    assert deliver.deliver_due(now=NOW) == 1
    [message] = box.taken
    return message


@pytest.mark.parametrize("kind", ["plain", "html"])
def test_an_alert_says_what_was_found_what_to_do_and_whom_to_ring(
    inside: Any, box: mailbox.Mailbox, kind: str
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
    message = only(box)
    assert message["Subject"] == "Today: Teasel, Top Barn: fat in spring"
    text = mailbox.text_of(message, kind)
    for words in (
        "Scored 4.17, nearest half 4.0",
        "Fattest: back and ribs",
        "It is spring 2026 in this yard.",
        "Call the vet today",
        "Do not starve it",
        "What it does not know",
        "What and how long it grazes.",
        "Tuesday 14 April 2026, 11:00",
        f"http://127.0.0.1:8000/alerts/{alert.ref}/",
        CAUTION,
        "Ferrow Vets",
        *NUMBERS,
    ):
        assert words in text
    if kind == "html":
        for number in NUMBERS:
            assert f'href="tel:{number.replace(" ", "")}"' in text


def test_a_yard_without_numbers_says_so(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde") as viewer:
        Yard.objects.update(vet_phone="", vet_out_of_hours_phone="", vet_second_phone="")
        raised(viewer, "Teasel", finding())
    assert "Ring your own vet" in mailbox.text_of(only(box))


def test_names_are_text_and_never_markup(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde") as viewer:
        Horse.objects.filter(name="Teasel").update(name="<img src=x> & co")
        raised(viewer, "Wagtail", finding())
        [alert] = raised(viewer, "Tansy", finding())
        alerts.resolve(viewer, alert.ref, {"reason": "Not hers"}, now=NOW)
        Horse.objects.filter(name="Wagtail").update(name="<img src=x> & co")
    message = only(box)
    assert "&lt;img src=x&gt; &amp; co" in mailbox.text_of(message, "html")
    assert "<img src=x> & co, Sallow Field" in mailbox.text_of(message)


def test_days_are_in_the_reader_s_language(
    inside: Any, box: mailbox.Mailbox, settings: Any
) -> None:
    settings.LANGUAGES = [*settings.LANGUAGES, ("de", "Deutsch")]
    with inside("maud") as viewer:
        User.objects.filter(id=cast.ref("isolde")).update(language="de")
        raised(viewer, "Teasel", finding())
    message = only(box)
    assert message["Content-Language"] == "de"
    assert "Dienstag 14 April 2026" in mailbox.text_of(message)


def test_an_alert_taken_on_before_the_mail_went_says_by_whom(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        alerts.acknowledge(viewer, alert.ref, {"next_step": "Ferrow Vets visit"}, now=NOW)
    text = mailbox.text_of(only(box))
    assert (
        "Acknowledged by Maud Pell. Next step: Ferrow Vets visit, by Wednesday 15 April 2026, 11:00"
        in text
    )


def test_an_organisation_never_sends_about_another_s_horse(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("perran") as viewer:
        raised(viewer, "Gorse", finding())
    message = only(box)
    assert "perran@example.org" in message["To"]
    assert box.to("isolde@example.org") == []
