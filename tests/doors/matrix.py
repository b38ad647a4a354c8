"""Who may do what on the REST surface, written out; the pages' rows are joined to it."""

from tests import photos
from tests.doors.matrix_alerts import ESCALATION
from tests.doors.pages import PAGES
from tests.doors.pages_accounts import INVITATIONS
from tests.doors.row import OF_TEASEL, OF_THE_FAT, Row
from tests.doors.scene import ago, ahead, assessment, exception, fresh, weighing

__all__ = ["API", "PAGES", "Row"]

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
    Row("GET", "api_walk", "200 200 200 200 200 403 404 401", {"id": "Top Barn"}),
    Row(
        "POST",
        "api_walk",
        "200 200 200 200 403 403 404 401",
        {"id": "Sallow Field"},
        lambda scene: {"horses": [scene["Wagtail"], scene["Tansy"]], "version": 1},
    ),
    # Rounds are walked by whoever records; a phone's token downloads nothing of anybody.
    Row("GET", "api_round", "200 200 200 200 403 403 404 401", {"id": "Top Barn"}),
    Row("GET", "api_after_round", "200 200 200 200 403 403 404 401", {"id": "Top Barn"}),
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
    Row(
        "POST",
        "api_photos",
        "201 201 201 201 403 201 422 401",
        body=lambda scene: photos.form("horse", scene["Teasel"], side="right"),
    ),
    Row("GET", "api_photo", "200 200 200 200 200 404 404 401", {"id": "photo"}),
    Row("GET", "api_photo_image", "200 200 200 200 200 404 404 401", {"id": "photo"}),
    Row("GET", "api_vet_orders", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row(
        "POST",
        "api_vet_orders",
        "403 403 403 201 403 403 404 401",
        OF_TEASEL,
        lambda _: {"score_days": 7, "reason": "Convalescent", "until": ahead(days=30)},
    ),
    Row(
        "POST",
        "api_vet_order_end",
        "403 403 403 200 403 403 404 401",
        {"id": "order"},
        lambda _: {"reason": "Well again"},
    ),
    # Staff ask, the vet answers; the scene's question is Tobias Wren's, or a coordinator's to end.
    Row("GET", "api_questions", "200 200 200 200 403 403 200 401"),
    Row("GET", "api_horse_questions", "200 200 200 200 403 403 404 401", OF_TEASEL),
    Row(
        "POST",
        "api_horse_questions",
        "201 201 201 403 403 403 404 401",
        OF_TEASEL,
        lambda _: {"text": "Is the cough worth a visit?"},
    ),
    Row(
        "POST",
        "api_question_answer",
        "403 403 403 200 403 403 404 401",
        {"id": "question"},
        lambda _: {"text": "Yes, from the elbow down"},
    ),
    Row(
        "POST",
        "api_question_withdraw",
        "200 403 200 403 403 403 404 401",
        {"id": "question"},
        lambda _: {"reason": "Seen to already"},
    ),
    # Clinical notes are between vets and coordinators.
    Row("GET", "api_clinical_notes", "200 403 403 200 403 403 404 401", OF_TEASEL),
    Row(
        "POST",
        "api_clinical_notes",
        "403 403 403 201 403 403 404 401",
        OF_TEASEL,
        lambda _: {"text": "Teeth rasped"},
    ),
    Row(
        "POST",
        "api_clinical_note_correct",
        "403 403 403 201 403 403 404 401",
        {"id": "note"},
        lambda _: {"text": "Teeth rasped, wolf tooth drawn", "reason": "Left out the tooth"},
    ),
    Row("GET", "api_standing", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row("GET", "api_trend", "200 200 200 200 200 403 404 401", OF_TEASEL),
    Row("GET", "api_due", "200 200 200 200 200 403 200 401"),
    Row("GET", "api_weight_formulas", "200 200 200 200 200 200 200 401"),
    Row(
        "POST",
        "api_weight_estimate",
        "200 200 200 200 403 200 200 401",
        body=lambda _: {
            "formula": "carroll_huntington_1988",
            "girth_cm": "185",
            "length_cm": "165",
        },
    ),
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
    *ESCALATION,
    # Risk rules: read by everybody, changed by who coordinates; a vet excepts horses.
    Row("GET", "api_rules", "200 200 200 200 200 403 200 401"),
    Row("GET", "api_rule", "200 200 200 200 200 403 200 401", OF_THE_FAT),
    Row(
        "PATCH",
        "api_rule",
        "200 403 403 403 403 403 200 401",
        OF_THE_FAT,
        lambda _: {"on": False, "reason": "Our vet asks for it", "version": 1},
    ),
    Row(
        "POST",
        "api_rule_preview",
        "200 403 403 200 403 403 422 401",
        OF_THE_FAT,
        lambda scene: {"on": False, "horse": scene["Teasel"]},
    ),
    Row("GET", "api_rule_exceptions", "200 200 200 200 200 403 200 401"),
    Row(
        "POST",
        "api_rule_exceptions",
        "201 403 403 201 403 403 422 401",
        body=lambda scene: exception(scene["Teasel"]),
    ),
    Row(
        "POST",
        "api_rule_exception_end",
        "200 403 403 200 403 403 404 401",
        {"id": "exception"},
        lambda _: {"reason": "A mistake"},
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
    *INVITATIONS,
    Row("GET", "api_entries", "200 403 403 200 200 403 200 401"),
    # Open to anybody, and nothing at all.
    Row("GET", "api_schema", "200 200 200 200 200 200 200 200"),
    Row("GET", "api_docs", "200 200 200 200 200 200 200 200"),
    Row("GET", "api_unknown", "404 404 404 404 404 404 404 401"),
)

# Pages, by session.
