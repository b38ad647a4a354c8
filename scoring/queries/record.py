"""Which of the ledger's entries about readings and alerts a reader of part of it may see."""

from collections.abc import Mapping

from scoring.access import alerts, own_rules, photos, readings, vet
from scoring.models import Concern, VetOrder
from yards.access import doors
from yards.queries.ledger import Refs

TARGETS: Mapping[str, Refs] = {
    "assessment": lambda viewer: readings.assessments_in_scope(viewer).values_list(
        "ref", flat=True
    ),
    "weighing": lambda viewer: readings.weighings_in_scope(viewer).values_list("ref", flat=True),
    "concern": lambda viewer: Concern.objects.filter(
        horse__in=doors.horses_in_scope(viewer)
    ).values_list("ref", flat=True),
    "vet_order": lambda viewer: VetOrder.objects.filter(
        horse__in=doors.horses_in_scope(viewer)
    ).values_list("ref", flat=True),
    "photo": lambda viewer: photos.photos_in_scope(viewer).values_list("ref", flat=True),
    "question": lambda viewer: vet.questions_in_scope(viewer).values_list("ref", flat=True),
    "clinical_note": lambda viewer: vet.notes_in_scope(viewer).values_list("ref", flat=True),
    "rule_exception": lambda viewer: own_rules.exceptions_in_scope(viewer).values_list(
        "ref", flat=True
    ),
    "alert_act": lambda viewer: alerts.acts_in_scope(viewer).values_list("ref", flat=True),
    "alert": lambda viewer: alerts.alerts_in_scope(viewer).values_list("ref", flat=True),
}
