"""The outbox, and what is to happen later. Rows are the truth; the broker only wakes us."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.models.alerts import Alert
from yards.models import Owned, Yard


class Timer(Owned):
    """Something to do at an instant. ``due_at`` is cleared when it is done or called off."""

    kind = models.CharField(max_length=16)
    key = models.CharField(max_length=120)
    due_at = models.DateTimeField(null=True)
    alert = models.ForeignKey(
        Alert,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    yard = models.ForeignKey(
        Yard,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    attempts = models.PositiveSmallIntegerField(default=0)
    created_at = models.DateTimeField()
    done_at = models.DateTimeField(null=True)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(
                fields=["due_at"], name="scoring_timer_due", condition=Q(due_at__isnull=False)
            ),
            models.Index(fields=["organisation", "alert"], name="scoring_timer_of_alert"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(fields=["organisation", "key"], name="scoring_timer_key"),
            models.CheckConstraint(
                name="scoring_timer_kind",
                condition=Q(
                    kind__in=["escalate", "follow_up", "snooze_end", "sweep", "fit", "refit"]
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.key


class Notice(Owned):
    """One message to one person. ``key`` is the SHA-256 of what makes it this message.

    ``due_at`` is cleared when the message has gone, or is never to go.
    """

    key = models.CharField(max_length=64)
    kind = models.CharField(max_length=16)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    alert = models.ForeignKey(
        Alert,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    yard = models.ForeignKey(
        Yard,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    params = models.JSONField(default=dict)
    state = models.CharField(max_length=12, default="pending")
    due_at = models.DateTimeField(null=True)
    created_at = models.DateTimeField()
    attempts = models.PositiveSmallIntegerField(default=0)
    attempted_at = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    last_error = models.CharField(max_length=300, blank=True)
    message_id = models.CharField(max_length=200)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(
                fields=["due_at"], name="scoring_notice_due", condition=Q(due_at__isnull=False)
            ),
            models.Index(fields=["organisation", "alert"], name="scoring_notice_of_alert"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(fields=["organisation", "key"], name="scoring_notice_key"),
            models.CheckConstraint(
                name="scoring_notice_kind",
                condition=Q(
                    kind__in=[
                        *("alert", "season", "escalation", "reminder"),
                        *("question", "glass", "ending"),
                    ]
                ),
            ),
            models.CheckConstraint(
                name="scoring_notice_state",
                condition=Q(state__in=["pending", "attempting", "sent", "called_off", "failed"]),
            ),
        ]

    def __str__(self) -> str:
        return self.message_id
