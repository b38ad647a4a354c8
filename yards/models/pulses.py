"""Signs of life: when each part of the service was last seen to do its work."""

from django.db import models


class Pulse(models.Model):
    """One row a part. ``at`` is the database's own clock, so that no process's can lie about it."""

    name = models.CharField(max_length=16, primary_key=True)
    at = models.DateTimeField()
    # What the part found, as counts; ``ahead_s`` is how far its clock ran before the database's.
    said = models.JSONField(default=dict)

    def __str__(self) -> str:
        return self.name
