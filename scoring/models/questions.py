"""Questions that staff put to the vet about a horse, and how each came to its end."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.rules import question as rule
from yards.models import Horse, Owned
from yards.models.notes import NoteLine


class Question(Owned):
    """What somebody would like the vet to say. Open until a ``QuestionEnd`` names it."""

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    text = NoteLine(max_length=rule.TEXT_MOST)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    asked_at = models.DateTimeField()

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "horse", "-id"], name="scoring_question_of"),
            models.Index(fields=["organisation", "-id"], name="scoring_question_newest"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(name="scoring_question_asks", condition=~Q(text="")),
        ]

    def __str__(self) -> str:
        return str(self.ref)


class QuestionEnd(Owned):
    """The vet's answer, or why the question was withdrawn: one a question, never altered."""

    question = models.ForeignKey(
        Question, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="ends"
    )
    how = models.CharField(max_length=12)
    text = NoteLine(max_length=rule.TEXT_MOST)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    ended_at = models.DateTimeField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "question"], name="scoring_question_ends_once"
            ),
            models.CheckConstraint(
                name="scoring_question_end_says_how",
                condition=Q(how__in=rule.ENDS) & ~Q(text=""),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.how} {self.question_id}"
