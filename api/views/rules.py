"""Risk rules: read in words, tried on the last twelve months, changed, excepted from."""

from collections.abc import Mapping
from uuid import UUID

from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, filters, paging
from api.base import ApiView
from api.present import rules as present
from api.schema import choices, describe, fields
from api.schema import rules as shapes
from scoring.access import own_rules as doors
from scoring.actions import own_rules, rule_exceptions
from scoring.queries import replaying
from scoring.queries import rule_exceptions as exceptions
from scoring.queries import rules as queries
from yards.rules.roles import Verb


class RulesView(ApiView):
    """Every rule in words."""

    verb = Verb.READ_RULES
    kind = "rules"

    @describe.gets("list_rules", shapes.RulesShape, summary="Risk rules")
    def get(self, request: Request) -> Response:
        """Return all of them, gravest first."""
        found = queries.list_rules(self.viewer, now=self.now)
        return Response({"results": [present.rule(each) for each in found]})


class _OfRule(ApiView):
    """A view of one rule, by its name."""

    def _admit(self, verb: Verb, path: Mapping[str, UUID], safe: bool) -> None:
        doors.rule_known(str(path["rule"]))
        super()._admit(verb, path, safe)


class RuleView(_OfRule):
    """One rule."""

    verb = {"get": Verb.READ_RULES, "patch": Verb.CHANGE_RULES}
    kind = "rules"

    @describe.gets("get_rule", shapes.RuleShape, summary="One risk rule")
    def get(self, request: Request, rule: str) -> Response:
        """Return it."""
        return Response(present.rule(queries.get_rule(self.viewer, rule, now=self.now)))

    @describe.changes(
        "change_rule", shapes.RuleChange, shapes.RuleChangedShape, summary="Change a risk rule"
    )
    def patch(self, request: Request, rule: str) -> Response:
        """Set thresholds, or switch it off or on; every horse is judged anew."""
        done = own_rules.change_rule(self.viewer, rule, self.raw, now=self.now)
        shown = present.rule(queries.get_rule(self.viewer, rule, now=self.now))
        return Response({**shown, "left_open": done.left_open, "resolved": done.resolved})


class PreviewView(_OfRule):
    """A question: nothing is stored."""

    verb = Verb.EXCEPT_HORSES

    @describe.changes(
        "preview_rule",
        shapes.PreviewIn,
        shapes.PreviewShape,
        summary="What a change of a rule would have meant",
    )
    def post(self, request: Request, rule: str) -> Response:
        """Return what today's and the proposed setting tell of the last twelve months."""
        found = replaying.preview(self.viewer, rule, self.raw, now=self.now)
        return Response(present.preview(found))


class RuleExceptionsView(ApiView):
    """Rules set otherwise for one yard or one horse."""

    verb = {"get": Verb.READ_RULES, "post": Verb.EXCEPT_HORSES}
    kind = "rule_exceptions"

    @describe.lists(
        "list_rule_exceptions",
        shapes.ExceptionShape,
        fields.query("state", enum=choices.EXCEPTION_STATES),
        fields.query("rule", enum=choices.RULES),
        fields.query("yard", fields.REF),
        fields.query("horse", fields.REF),
        summary="Exceptions to risk rules",
    )
    def get(self, request: Request) -> Response:
        """Return exceptions in scope, newest first."""
        page = exceptions.list_exceptions(
            self.viewer,
            exceptions.Wanted(
                state=filters.choice(request, "state", choices.EXCEPTION_STATES),
                rule=filters.choice(request, "rule", choices.RULES),
                yard=filters.ref(request, "yard"),
                horse=filters.ref(request, "horse"),
            ),
            now=self.now,
            cursor=paging.cursor_of(request),
        )
        return paging.response(request, page, present.exception)

    @describe.makes(
        "give_rule_exception",
        shapes.ExceptionIn,
        shapes.ExceptionShape,
        summary="Make an exception to a risk rule",
    )
    def post(self, request: Request) -> Response:
        """Make one; another of the same rule and subject ends. Of a yard: coordinators only."""
        made = rule_exceptions.give(self.viewer, self.raw, now=self.now)
        return creating.response(present.exception(made), replayed=made.replayed)


class EndRuleExceptionView(ApiView):
    """It is over before its time."""

    verb = Verb.EXCEPT_HORSES
    finder = doors.exception_for_read

    @describe.changes(
        "end_rule_exception",
        shapes.ExceptionEnd,
        shapes.ExceptionShape,
        summary="End an exception to a risk rule",
    )
    def post(self, request: Request, id: UUID) -> Response:
        """End it, with a reason; its horses are judged anew."""
        ended = rule_exceptions.end(self.viewer, id, self.raw, now=self.now)
        return Response(present.exception(ended))
