"""What was estimated of an organisation's hands, tapes and horses, for its trends to run by."""

from django.db import models

from yards.models import Owned


class Fit(Owned):
    """One estimate of noises, offsets and drifts, made by a worker; never changed afterwards.

    ``content`` holds ``scoring.rules.fitted`` by series. Each standing names the one that its
    filters run by.
    """

    made_at = models.DateTimeField()
    content = models.JSONField()

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "-id"], name="scoring_fit_newest")]

    def __str__(self) -> str:
        return f"fit of {self.made_at:%Y-%m-%d}"
