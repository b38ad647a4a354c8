"""A page costs as many queries for a thousand horses as for ten, shown or not."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import uuid_utils.compat as uuid_utils
from django.test import Client

from scoring.models import Alert
from tests.conftest import as_somebody
from tests.pages.test_query_counts import Page, queries, scored_horse
from tests.queries import board_herds
from yards.models import Horse, Stay

SAID = {
    "reason": ["risk_spring", {}],
    "evidence": [],
    "advice": ["look_again_soon", {}],
    "what_not_to_do": ["never_starve", {}],
}
WHOLE = ("/", "/wall/", "/herd/", "/visit/", "/horses/", "/due/", "/alerts/")


def herded(upto: int, first: int) -> None:
    """Horses by the hundred, each with a stay, a score and a standing, a third with alerts."""
    now = datetime.now(UTC)
    with as_somebody("isolde") as viewer:
        board_herds.herd(viewer, upto - first, now, seed=upto, first=first)
        Alert.objects.update(said=SAID)
        Stay.objects.bulk_create(
            Stay(
                organisation_id=viewer.organisation,
                ref=uuid_utils.uuid7(),
                horse=horse,
                yard_id=horse.yard_id,
                from_at=now - timedelta(days=300),
            )
            for horse in Horse.objects.exclude(id__in=Stay.objects.values("horse_id"))
        )


def test_a_thousand_horses_cost_as_many_queries_as_ten(
    signed_in: Callable[[str], Client],
) -> None:
    """Rows that no page shows must not be asked for one by one either."""
    client, counted, made = signed_in("isolde"), [], 0
    client.get("/")
    for many in (10, 1000):
        herded(many, made)
        made = many
        counted.append({path: queries(client, Page(path, scored_horse), []) for path in WHOLE})
    assert counted[0] == counted[1]
