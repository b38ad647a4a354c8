"""Questions to the vet, and clinical notes."""

from rest_framework import serializers

from api.schema import choices, fields, shape
from api.schema.people import PersonShape


class QuestionIn(shape.Shape):
    """What somebody would like the vet to say of a horse."""

    id = serializers.UUIDField(required=False)
    text = serializers.CharField()

    class Meta:
        ref_name = "QuestionIn"


class AnswerIn(shape.Shape):
    """The vet's answer. It stands: the same again is a replay, another is refused."""

    id = serializers.UUIDField(required=False)
    text = serializers.CharField()

    class Meta:
        ref_name = "AnswerIn"


class WithdrawIn(shape.Shape):
    """Why a question need not be answered any more."""

    id = serializers.UUIDField(required=False)
    reason = serializers.CharField()

    class Meta:
        ref_name = "WithdrawIn"


class QuestionEndShape(shape.Shape):
    """How a question came to its end: the vet's answer, or why it was withdrawn."""

    id = serializers.UUIDField()
    how = fields.choice(choices.QUESTION_ENDS)
    text = serializers.CharField()
    by = PersonShape()
    at = serializers.DateTimeField()

    class Meta:
        ref_name = "QuestionEnd"


class QuestionShape(shape.Shape):
    """A question to the vet, open until it was answered or withdrawn."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    text = serializers.CharField()
    state = fields.choice(choices.QUESTION_STATES)
    asked_by = PersonShape()
    asked_at = serializers.DateTimeField()
    end = QuestionEndShape(allow_null=True)

    class Meta:
        ref_name = "Question"


class ClinicalNoteIn(shape.Shape):
    """What a vet writes down of a horse."""

    id = serializers.UUIDField(required=False)
    text = serializers.CharField()

    class Meta:
        ref_name = "ClinicalNoteIn"


class ClinicalNoteCorrectIn(ClinicalNoteIn):
    """The whole new note, and why the other is corrected."""

    reason = serializers.CharField()

    class Meta:
        ref_name = "ClinicalNoteCorrectIn"


class ClinicalNoteShape(shape.Shape):
    """A vet's note; only vets and coordinators ever read one. ``reason``: why it corrects one."""

    id = serializers.UUIDField()
    horse = serializers.UUIDField()
    text = serializers.CharField()
    written_by = PersonShape()
    written_at = serializers.DateTimeField()
    supersedes = serializers.UUIDField(allow_null=True)
    superseded_by = serializers.UUIDField(allow_null=True)
    reason = serializers.CharField(allow_blank=True)

    class Meta:
        ref_name = "ClinicalNote"
