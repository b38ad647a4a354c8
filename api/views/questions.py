"""Questions to the vet: asked, answered, withdrawn."""

from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, filters, paging
from api.base import ApiView
from api.present import vet as present
from api.schema import choices, describe, fields
from api.schema.vet import AnswerIn, QuestionIn, QuestionShape, WithdrawIn
from scoring.access import vet
from scoring.actions import questions as actions
from scoring.queries import questions
from yards.access import doors
from yards.rules.roles import Verb


class QuestionsView(ApiView):
    """What staff ask the vet, of every horse in reach."""

    verb = Verb.READ_NOTES
    kind = "questions"

    @describe.lists(
        "list_questions",
        QuestionShape,
        fields.query("state", enum=choices.QUESTION_STATES),
        fields.query("horse", fields.REF),
        summary="Questions to the vet",
    )
    def get(self, request: Request) -> Response:
        """Return questions, newest first."""
        wanted = questions.Wanted(
            horse=filters.ref(request, "horse"),
            state=filters.choice(request, "state", choices.QUESTION_STATES),
        )
        page = questions.list_questions(self.viewer, wanted, cursor=paging.cursor_of(request))
        return paging.response(request, page, present.question)


class HorseQuestionsView(ApiView):
    """What staff ask the vet of one horse."""

    verb = {"get": Verb.READ_NOTES, "post": Verb.ASK_VET}
    finder = doors.horse_for_read
    kind = "questions"

    @describe.lists("list_horse_questions", QuestionShape, summary="A horse's questions")
    def get(self, request: Request, id: UUID) -> Response:
        """Return them, newest first."""
        page = questions.list_questions(
            self.viewer, questions.Wanted(horse=id), cursor=paging.cursor_of(request)
        )
        return paging.response(request, page, present.question)

    @describe.makes("ask_vet", QuestionIn, QuestionShape, summary="Put a question to the vet")
    def post(self, request: Request, id: UUID) -> Response:
        """Ask; it is open until it is answered or withdrawn. For danger, call the vet instead."""
        made = actions.ask(self.viewer, id, self.raw, now=self.now)
        return creating.response(present.question(made), replayed=made.replayed)


class AnswerView(ApiView):
    """The vet answers."""

    verb = Verb.ANSWER_QUESTIONS
    finder = vet.question_for_read

    @describe.changes("answer_question", AnswerIn, QuestionShape, summary="Answer a question")
    def post(self, request: Request, id: UUID) -> Response:
        """Answer it, once; only a vet may."""
        return Response(present.question(actions.answer(self.viewer, id, self.raw, now=self.now)))


class WithdrawView(ApiView):
    """Somebody takes a question back."""

    verb = Verb.ASK_VET
    finder = vet.question_for_read

    @describe.changes("withdraw_question", WithdrawIn, QuestionShape, summary="Withdraw a question")
    def post(self, request: Request, id: UUID) -> Response:
        """Withdraw it with a reason: its asker may, or a coordinator."""
        return Response(present.question(actions.withdraw(self.viewer, id, self.raw, now=self.now)))
