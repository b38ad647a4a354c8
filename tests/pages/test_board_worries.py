"""The board's first sentence: which horses worry, why, how many more; and the order behind it."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from django.test import Client

from scoring.models import Alert, Standing
from tests import cast
from tests.pages.test_board import horses_on, text
from yards.models import Horse
from yards.rules.roles import Viewer

SignIn = Callable[[str], Client]
NOW = datetime.now(UTC)
SPRING = {"spring_first": "10-27", "spring_last": "01-25"}


def alarmed(viewer: Viewer, name: str, rule: str, severity: str, **facts: Any) -> None:
    horse = Horse.objects.get(ref=cast.ref(name))
    held = {"state": "open", "said": {"reason": ["fat", {}]}, **facts}
    Alert.objects.create(
        organisation_id=viewer.organisation,
        ref=cast.ref(f"{name} {rule}"),
        horse=horse,
        yard_id=horse.yard_id,
        rule=rule,
        severity=severity,
        opened_at=NOW - timedelta(days=9),
        seen_at=NOW - timedelta(days=9),
        **held,
    )


def answered(**by: int) -> dict[str, Any]:
    return {
        "state": "acknowledged",
        "acknowledged_at": NOW - timedelta(days=8),
        "acknowledged_by_id": cast.ref("isolde"),
        "next_step": "Look again",
        "next_step_by": NOW + timedelta(**by),
    }


def sentence(page: str) -> str:
    found = page.split('<p class="worries">')[1].split("</p>", maxsplit=1)[0]
    return " ".join(html.unescape(re.sub(r"<[^>]*>", "", found)).split())


def test_the_board_begins_with_who_worries_and_why(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde") as viewer:
        Standing.objects.update(score_due_at=NOW - timedelta(days=3), weight_due_at=NOW)
        # Longest late of all, and nothing else is the matter.
        late = Standing.objects.filter(horse__ref=cast.ref("Marram"))
        late.update(score_due_at=NOW - timedelta(days=40))
        alarmed(viewer, "Marram", "overdue", "watch")
        told = {"reason": ["fat_in_spring", SPRING]}
        alarmed(viewer, "Teasel", "fat_in_spring", "urgent", said=told)
        alarmed(viewer, "Tansy", "above_band", "watch", **answered(days=-1))
        alarmed(viewer, "Sorrel Lad", "losing_score", "watch")
        alarmed(viewer, "Wagtail", "thin", "watch", **answered(days=1))
    client = signed_in("isolde")
    page = text(client, "/")
    assert sentence(page) == (
        "This week: Teasel (fat in spring, call the vet), Tansy (above its band, decision "
        "overdue), Sorrel Lad (losing condition, this week). Besides these, 1 has an alert "
        "that somebody has answered. 1 is only due or overdue for a look."
    )
    # Within the group of what is due, an open alert stands first, lateness alone last.
    order = ["Teasel", "Tansy", "Sorrel Lad", "Wagtail", "Marram"]
    assert horses_on(page) == [str(cast.ref(name)) for name in order]
    for name in order[:3]:
        assert f'href="#row-{cast.ref(name)}"' in page
        assert page.count(f'id="row-{cast.ref(name)}"') == 1
    assert "Fat in spring (spring here: 27 Oct to 25 Jan)" in page
    assert 'class="worries"' not in text(client, "/?group=decide"), "only where all are seen"


def test_six_are_named_and_the_rest_counted(signed_in: SignIn, inside: Any) -> None:
    calm = sentence(text(signed_in("isolde"), "/"))
    assert calm.startswith("Lateness apart, no horse here has an alert that waits for an answer.")
    with inside("isolde") as viewer:
        for number in range(8):
            horse = Horse.objects.get(ref=cast.ref("Teasel"))
            horse.pk, horse.ref, horse.name = None, cast.ref(f"more {number}"), f"Heather {number}"
            horse.name_key = f"heather {number}"
            horse.save(force_insert=True)
            kept = Standing.objects.get(horse__ref=cast.ref("Teasel"))
            kept.pk, kept.ref, kept.horse = None, cast.ref(f"standing {number}"), horse
            kept.save(force_insert=True)
            alarmed(viewer, f"more {number}", "thin", "act")
    told = sentence(text(signed_in("isolde"), "/"))
    assert told.count("(thin, today)") == 6
    assert "Heather 5 (thin, today) and 2 more." in told
