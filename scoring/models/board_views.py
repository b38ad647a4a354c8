"""Views of the board that somebody has kept under a name."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from yards.models import Owned


class BoardView(Owned):
    """What one person asks of the board, under a name of their own; one taken away stays as gone.

    ``asked`` is what the board's address holds, by name: see ``scoring.rules.board_wanted``.
    """

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    name = models.CharField(max_length=60)
    asked = models.JSONField()
    created_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True)

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "person", "name"],
                condition=Q(removed_at__isnull=True),
                name="scoring_boardview_one_a_name",
            ),
        ]

    def __str__(self) -> str:
        return self.name
