"""Who may do what on the pages of who can see what, break-glass and the officer's desk."""

from tests import cast
from tests.doors.row import OF_TEASEL, Row

OF_MAUD, OF_SORREL, OF_GLASS = {"id": "maud"}, {"id": "Sorrel Lad"}, {"id": "glass"}
# All of the house: so that a row's answers do not hang on who was named before.
HOUSE = [str(cast.ref(key)) for key in ("isolde", "maud", "tobias", "keziah", "hollis")]

SIGHT = (
    # An officer's desk is the auditor's, and the coordinator's to see what officers see.
    Row("GET", "scoring:desk", "200 403 403 403 200 - 200 302"),
    Row("GET", "scoring:desk_horse", "200 403 403 403 200 - 404 302", OF_TEASEL),
    Row("GET", "yards:person", "200 403 403 403 403 - 404 302", OF_MAUD),
    Row("GET", "yards:horse_seen", "200 403 403 403 403 - 404 302", OF_TEASEL),
    Row("GET", "yards:restrict_horse", "200 403 403 403 403 - 404 302", OF_SORREL),
    Row(
        "POST",
        "yards:restrict_horse",
        "303 403 403 403 403 - 404 302",
        OF_SORREL,
        lambda _: {"people": HOUSE, "reason": "Seized"},
    ),
    Row("GET", "yards:open_horse", "200 403 403 403 403 - 404 302", OF_TEASEL),
    # Nothing restricts her.
    Row(
        "POST",
        "yards:open_horse",
        "409 403 403 403 403 - 404 302",
        OF_TEASEL,
        lambda _: {"reason": "Case closed"},
    ),
    # Whoever may enter may ask; a coordinator approves, never one's own. The scene's is Maud's.
    Row("GET", "yards:glass", "200 200 200 200 200 - 200 302"),
    Row(
        "POST",
        "yards:glass",
        "303 303 303 303 303 - 303 302",
        body=lambda _: {"reason": "Vet on the phone"},
    ),
    Row("POST", "yards:approve_glass", "303 403 403 403 403 - 404 302", OF_GLASS),
    Row("POST", "yards:end_glass", "303 303 403 403 403 - 404 302", OF_GLASS),
    Row("GET", "yards:issue_day_grant", "200 403 403 403 403 - 200 302"),
    Row(
        "POST",
        "yards:issue_day_grant",
        "303 403 403 403 403 - 422 302",
        body=lambda scene: {"person": scene["keziah"], "role": "vet"},
    ),
)
