"""When a vet was last here: by yard, the latest that is on record before its day of today."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import connection

from scoring.queries import board_page
from scoring.rules import visit
from yards import isolation
from yards.models import Grant, Yard
from yards.rules import event
from yards.rules.roles import Role, Viewer

# Readings, notes, orders and answers alike: whatever a vet leaves behind. A correction does not
# count, nor a weight that came with one: it is written anywhere. An event says that a vet was
# there, not which: it counts for all. What has no yard of its own counts where the horse stands
# now. The organisation's wall is in the database.
_LAST = """
WITH zoned AS (
    SELECT * FROM unnest(%(yards)s::bigint[], %(today)s::timestamptz[]) AS zoned (yard_id, today_at)
), done (yard_id, at) AS (
    SELECT yard_id, received_at FROM scoring_assessment
        WHERE recorded_by_id = ANY(%(people)s) AND received_at >= %(oldest)s
        AND supersedes_id IS NULL
    UNION ALL SELECT yard_id, received_at FROM scoring_weighing weighed
        WHERE recorded_by_id = ANY(%(people)s) AND received_at >= %(oldest)s
        AND supersedes_id IS NULL AND NOT EXISTS (
            SELECT FROM scoring_assessment corrects
            WHERE corrects.recorded_by_id = weighed.recorded_by_id
            AND corrects.received_at = weighed.received_at
            AND corrects.weighing_id = weighed.id AND corrects.supersedes_id IS NOT NULL
        )
    UNION ALL SELECT yard_id, written_at FROM scoring_clinicalnote
        WHERE written_by_id = ANY(%(people)s) AND written_at >= %(oldest)s
        AND supersedes_id IS NULL
    UNION ALL SELECT horse.yard_id, given.given_at FROM scoring_vetorder given
        JOIN yards_horse horse ON horse.id = given.horse_id
        WHERE given.given_by_id = ANY(%(people)s) AND given.given_at >= %(oldest)s
    UNION ALL SELECT horse.yard_id, ended.ended_at FROM scoring_vetorderend ended
        JOIN scoring_vetorder given ON given.id = ended.order_id
        JOIN yards_horse horse ON horse.id = given.horse_id
        WHERE ended.ended_by_id = ANY(%(people)s) AND ended.ended_at >= %(oldest)s
    UNION ALL SELECT horse.yard_id, ended.ended_at FROM scoring_questionend ended
        JOIN scoring_question asked ON asked.id = ended.question_id
        JOIN yards_horse horse ON horse.id = asked.horse_id
        WHERE ended.ended_by_id = ANY(%(people)s) AND ended.ended_at >= %(oldest)s
    UNION ALL SELECT yard_id, acknowledged_at FROM scoring_alert
        WHERE acknowledged_by_id = ANY(%(people)s) AND acknowledged_at >= %(oldest)s
    UNION ALL SELECT yard_id, resolved_at FROM scoring_alert
        WHERE resolved_by_id = ANY(%(people)s) AND resolved_at >= %(oldest)s
    UNION ALL SELECT horse.yard_id, event.at FROM yards_horseevent event
        JOIN yards_horse horse ON horse.id = event.horse_id
        WHERE event.kind = %(visited)s AND event.at >= %(oldest)s
)
SELECT done.yard_id, max(done.at) FROM done JOIN zoned ON zoned.yard_id = done.yard_id
    WHERE done.at < zoned.today_at GROUP BY done.yard_id
"""


def last_recorded(viewer: Viewer, yards: Sequence[Yard], now: datetime) -> dict[int, datetime]:
    """Return by yard key when a vet was last there before today, or recorded something of it.

    A vet is told of what they recorded, in one query; a coordinator of what every vet that was ever
    let in did, in two; both of the visits that anybody noted as events.
    """
    isolation.required(viewer)
    asked: dict[str, Any] = {
        **board_page.days(yards, now),
        "people": _people(viewer),
        "visited": event.VET_VISITED,
        "oldest": now - timedelta(days=visit.LONGEST_DAYS),
    }
    with connection.cursor() as cursor:
        cursor.execute(_LAST, asked)
        return dict(cursor.fetchall())


def _people(viewer: Viewer) -> list[UUID]:
    if viewer.role is Role.VET and viewer.person is not None:
        return [viewer.person]
    granted = Grant.objects.filter(organisation_id=viewer.organisation, role=Role.VET)
    return list(granted.values_list("person_id", flat=True).distinct())
