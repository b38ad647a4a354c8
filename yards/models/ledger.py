"""The ledger: one entry a change, written in the same transaction, never altered."""

from django.db import models

from yards.models.base import Owned


class Entry(Owned):
    """One change. ``body`` holds the RFC 8785 bytes that ``leaf`` is the hash of."""

    at = models.DateTimeField()
    actor = models.CharField(max_length=60)
    via = models.CharField(max_length=12)
    verb = models.CharField(max_length=60)
    target_kind = models.CharField(max_length=24)
    target_ref = models.UUIDField(null=True)
    body = models.BinaryField()
    leaf = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(
                fields=["organisation", "target_ref", "verb"], name="yards_entry_by_target"
            ),
            models.Index(fields=["organisation", "-id"], name="yards_entry_newest"),
        ]

    def __str__(self) -> str:
        return f"{self.verb} {self.ref}"


class EntryPayload(Owned):
    """What an entry says, kept apart so that it can be erased and the proofs still hold."""

    entry = models.ForeignKey(
        Entry, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    salt = models.BinaryField(max_length=32)
    payload = models.BinaryField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(fields=["organisation", "entry"], name="yards_payload_of"),
        ]

    def __str__(self) -> str:
        return f"payload of {self.entry_id}"
