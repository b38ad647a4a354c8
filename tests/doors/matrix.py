"""Who may do what, written out: one row a call, one column a caller.

The statuses are the contract's (api.md's roles and order of refusal), not computed from the table
in ``yards.rules.roles`` that they hold to account.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.doors.scene import Scene, ago, ahead, assessment, fresh, sheet, weighing

# Coordinator; assessor of two yards; assessor of all; vet; auditor; phone of the first assessor;
# the other organisation's coordinator; nobody.
CALLERS = ("isolde", "maud", "tobias", "keziah", "hollis", "device", "perran", None)
Body = Callable[[Scene], Any]


@dataclass(frozen=True)
class Row:
    """One call: its statuses in the order of ``CALLERS``; ``ids`` names things of the scene."""

    method: str
    name: str
    statuses: str
    ids: Mapping[str, str] = field(default_factory=dict)
    body: Body | None = None

    @property
    def expected(self) -> dict[str | None, int]:
        """The status for each caller; a phone has no session and knocks on no page (``-``)."""
        found = self.statuses.split()
        assert len(found) == len(CALLERS), f"{self} has not one status a caller"
        each = zip(CALLERS, found, strict=True)
        return {caller: int(status) for caller, status in each if status != "-"}

    def __str__(self) -> str:
        return f"{self.method} {self.name}"


OF_TEASEL = {"id": "Teasel"}

API = (
    Row("GET", "api_me", "200 200 200 200 200 200 200 401"),
    # Yards and animals.
    Row("GET", "api_yards", "200 200 200 200 200 403 200 401"),
    Row(
        "POST",
        "api_yards",
        "201 403 403 403 403 403 201 401",
        body=lambda _: {"name": "New", "time_zone": "Europe/London", "hemisphere": "north"},
    ),
    Row("GET", "api_yard", "200 200 200 200 200 403 404 401", {"id": "Top Barn"}),
    Row(
        "PATCH",
        "api_yard",
        "200 403 403 403 403 403 404 401",
        {"id": "Sallow Field"},
        lambda _: {"name": "Sallow", "version": 1},
    ),
    Row("GET", "api_horses", "200 200 200 200 200 403 200 401"),
    Row(
        "POST",
        "api_horses",
        "201 403 403 403 403 403 422 401",
        body=lambda scene: {"name": "Oxlip", "yard": scene["Top Barn"], "species": "horse"},
    ),
    Row("GET", "api_horse", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row(
        "PATCH",
        "api_horse",
        "200 403 403 403 403 403 404 401",
        {"id": "Sorrel Lad"},
        lambda _: {"name": "Sorrel", "version": 1},
    ),
    Row(
        "POST",
        "api_move",
        "200 403 403 403 403 403 404 401",
        OF_TEASEL,
        lambda scene: {"yard": scene["Sallow Field"]},
    ),
    Row(
        "POST",
        "api_merge",
        "200 403 403 403 403 403 404 401",
        {"id": "stray"},
        lambda scene: {"into": scene["Teasel"]},
    ),
    Row("GET", "api_events", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row(
        "POST",
        "api_events",
        "201 201 201 201 403 403 404 401",
        OF_TEASEL,
        lambda _: {"kind": "clipped", "at": ago(hours=1)},
    ),
    # Readings. A phone appends, and reads back its own: another's is not there for it.
    Row("GET", "api_assessments", "200 200 200 200 200 200 200 401"),
    Row(
        "POST",
        "api_assessments",
        "201 201 201 201 403 201 422 401",
        body=lambda scene: assessment(scene["Teasel"]),
    ),
    Row("GET", "api_assessment", "200 200 200 200 200 404 404 401", {"id": "assessment"}),
    Row(
        "POST",
        "api_assessment_correct",
        "201 201 201 201 403 404 404 401",
        {"id": "assessment"},
        lambda scene: assessment(scene["Teasel"], reason="Misread the sheet", id=fresh("better")),
    ),
    Row(
        "POST",
        "api_assessment_batch",
        "200 200 200 200 403 200 200 401",
        body=lambda scene: {"items": [assessment(scene["Teasel"])]},
    ),
    Row("GET", "api_weighings", "200 200 200 200 200 200 200 401"),
    Row(
        "POST",
        "api_weighings",
        "201 201 201 201 403 201 422 401",
        body=lambda scene: weighing(scene["Teasel"]),
    ),
    Row("GET", "api_weighing", "200 200 200 200 200 404 404 401", {"id": "weighing"}),
    Row(
        "POST",
        "api_weighing_correct",
        "201 201 201 201 403 404 404 401",
        {"id": "weighing"},
        lambda scene: weighing(scene["Teasel"], reason="Misread the sheet", id=fresh("better")),
    ),
    Row(
        "POST",
        "api_weighing_batch",
        "200 200 200 200 403 200 200 401",
        body=lambda scene: {"items": [weighing(scene["Teasel"])]},
    ),
    Row(
        "POST",
        "api_concerns",
        "201 201 201 201 403 201 404 401",
        OF_TEASEL,
        lambda _: {"seen_at": ago(hours=1), "note": "Dull, standing apart"},
    ),
    Row("GET", "api_vet_orders", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row(
        "POST",
        "api_vet_orders",
        "403 403 403 201 403 403 404 401",
        OF_TEASEL,
        lambda _: {"score_days": 7, "reason": "Convalescent", "until": ahead(days=30)},
    ),
    Row("GET", "api_standing", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row("GET", "api_due", "200 200 200 200 200 403 200 401"),
    Row("GET", "api_instruments", "200 200 200 200 200 403 200 401"),
    Row(
        "POST",
        "api_instruments",
        "201 403 403 403 403 403 201 401",
        body=lambda _: {"kind": "weigh_tape", "label": "Red tape"},
    ),
    # Alerts. What protects life is resolved by the vet, or in the vet's words.
    Row("GET", "api_alerts", "200 200 200 200 200 403 200 401"),
    Row(
        "POST",
        "api_alert_acknowledge",
        "200 200 200 200 403 403 404 401",
        {"id": "danger_signs"},
        lambda _: {"next_step": "Vet called, on her way"},
    ),
    Row(
        "POST",
        "api_alert_resolve",
        "200 403 403 200 403 403 404 401",
        {"id": "danger_signs"},
        lambda _: {"reason": "Seen by the vet", "vet_said": "Sound, eating again"},
    ),
    Row(
        "POST",
        "api_alert_snooze",
        "200 200 200 200 403 403 404 401",
        {"id": "fat_in_spring"},
        lambda _: {"until": ahead(days=1), "reason": "Paddock is being fenced"},
    ),
    # People and the ledger.
    Row("GET", "api_grants", "200 403 403 403 403 403 200 401"),
    Row(
        "POST",
        "api_grants",
        "201 403 403 403 403 403 422 401",
        body=lambda scene: {"person": scene["maud"], "role": "auditor", "yards": "all"},
    ),
    Row(
        "POST",
        "api_grant_revoke",
        "200 403 403 403 403 403 404 401",
        {"id": "grant"},
        lambda _: {"reason": "Has left"},
    ),
    Row("GET", "api_entries", "200 403 403 200 200 403 200 401"),
    # Open to anybody, and nothing at all.
    Row("GET", "api_schema", "200 200 200 200 200 200 200 200"),
    Row("GET", "api_docs", "200 200 200 200 200 200 200 200"),
    Row("GET", "api_unknown", "404 404 404 404 404 404 404 401"),
)

# Pages, by session.
PAGES = (
    Row("GET", "account_login", "302 302 302 302 302 - 302 200"),
    Row("POST", "account_login", "302 302 302 302 302 - 302 200"),
    Row("GET", "account_logout", "200 200 200 200 200 - 200 302"),
    Row("POST", "account_logout", "302 302 302 302 302 - 302 302"),
    # The second step of a sign-in that nobody has begun.
    Row("GET", "mfa_authenticate", "302 302 302 302 302 - 302 302"),
    # The yard's own pages.
    Row("GET", "scoring:board", "200 200 200 200 200 - 200 302"),
    Row("GET", "scoring:score", "200 200 200 200 403 - 404 302", OF_TEASEL),
    Row("POST", "scoring:score", "303 303 303 303 403 - 404 302", OF_TEASEL, lambda _: sheet()),
    Row("GET", "scoring:scored", "200 200 200 200 200 - 404 302", {"id": "assessment"}),
    Row("GET", "scoring:alerts", "200 200 200 200 200 - 200 302"),
    Row("GET", "scoring:alert", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row("GET", "scoring:acknowledge", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row(
        "POST",
        "scoring:acknowledge",
        "303 303 303 303 403 - 404 302",
        {"id": "danger_signs"},
        lambda _: {"next_step": "Vet called, on her way"},
    ),
    Row("GET", "scoring:resolve", "200 200 200 200 200 - 404 302", {"id": "danger_signs"}),
    Row(
        "POST",
        "scoring:resolve",
        "303 403 403 303 403 - 404 302",
        {"id": "danger_signs"},
        lambda _: {"reason": "Seen by the vet", "vet_said": "Sound, eating again"},
    ),
    Row("GET", "health_live", "200 200 200 200 200 - 200 200"),
    Row("GET", "health_ready", "200 200 200 200 200 - 200 200"),
)
