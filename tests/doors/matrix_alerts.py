"""Who may do what about alerts and how they escalate, on the REST surface."""

from typing import Any

from tests.doors.row import Row
from tests.doors.scene import ahead

FAT = {"id": "fat_in_spring"}
URGENT = {"severity": "urgent"}
LADDER: dict[str, Any] = {
    "steps": [{"after_minutes": 0, "roles": ["coordinator"]}],
    "repeat_minutes": 20,
}

ESCALATION = (
    Row(
        "POST",
        "api_alert_assign",
        "200 200 200 200 403 403 404 401",
        FAT,
        lambda scene: {"person": scene["isolde"]},
    ),
    Row("GET", "api_alert_comments", "200 200 200 200 200 403 404 401", FAT),
    Row(
        "POST",
        "api_alert_comments",
        "201 201 201 201 403 403 404 401",
        FAT,
        lambda _: {"text": "Off the grass since noon"},
    ),
    # Ladders: read by whoever reads alerts, set by who coordinates.
    Row("GET", "api_policies", "200 200 200 200 200 403 200 401"),
    Row("GET", "api_policy", "200 200 200 200 200 403 200 401", URGENT),
    Row(
        "PATCH",
        "api_policy",
        "200 403 403 403 403 403 200 401",
        URGENT,
        lambda _: {**LADDER, "reason": "As we work", "version": 1},
    ),
    Row(
        "POST",
        "api_policy_preview",
        "200 403 403 403 403 403 200 401",
        URGENT,
        lambda _: LADDER,
    ),
    # Everybody who may answer says that they are away; another's absence is not there for them.
    Row("GET", "api_absences", "200 200 200 200 403 403 200 401"),
    Row(
        "POST",
        "api_absences",
        "201 201 201 201 403 403 201 401",
        body=lambda _: {"until": ahead(days=9)},
    ),
    Row("POST", "api_absence_end", "200 200 404 404 404 403 404 401", {"id": "absence"}),
)
