"""What every row that belongs to an organisation has in common."""

from django.db import models


class Owned(models.Model):
    """A row of one organisation.

    ``id`` is a surrogate key and never leaves the house; ``ref`` is the id that clients see and may
    make. ``ref`` is unique within the organisation only: unique over all, it would tell one
    organisation what another holds. Foreign keys between such rows carry the organisation in SQL
    (see migrations), so they are declared here without a constraint of their own.
    """

    id = models.BigAutoField(primary_key=True)
    organisation = models.ForeignKey(
        "yards.Organisation", on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    ref = models.UUIDField(editable=False)

    class Meta:
        abstract = True
        constraints = [
            models.UniqueConstraint(
                fields=["organisation", "ref"], name="%(app_label)s_%(class)s_ref"
            )
        ]
