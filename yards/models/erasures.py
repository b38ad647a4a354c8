"""People whose name an organisation has erased, and which entries it emptied with them."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from yards.models.base import Owned
from yards.models.ledger import Entry

ALIAS_MOST = 60


class Erasure(Owned):
    """A person whom this organisation names by ``alias`` from ``at`` on: see ``models.called``.

    Each organisation forgets for itself. ``number`` counts within the organisation.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    alias = models.CharField(max_length=ALIAS_MOST)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=300)

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "person"], name="yards_erasure_once_a_person"
            ),
            models.UniqueConstraint(fields=["organisation", "number"], name="yards_erasure_number"),
            models.CheckConstraint(
                name="yards_erasure_says_why", condition=~Q(reason="") & ~Q(alias="")
            ),
            models.CheckConstraint(
                name="yards_erasure_by_another", condition=~Q(by=models.F("person"))
            ),
        ]

    def __str__(self) -> str:
        return self.alias


class ErasedPayload(Owned):
    """An entry whose payload went with an erasure: only what is named here may be removed."""

    erasure = models.ForeignKey(
        Erasure, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    entry = models.ForeignKey(
        Entry, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "entry"], name="yards_erasedpayload_once_an_entry"
            ),
        ]

    def __str__(self) -> str:
        return f"payload of {self.entry_id}"


class Emptying(models.Model):
    """An account that an organisation has forgotten: the worker asks whether all others have too.

    ``id`` is the person's. Of no organisation, and no key: it says nothing of who is known where.
    """

    id = models.UUIDField(primary_key=True)
    due_at = models.DateTimeField()

    def __str__(self) -> str:
        return str(self.id)
