"""What a person may say beside an answer: whose an alert is, and a comment."""

from dataclasses import dataclass
from uuid import UUID

from scoring.rules.alert_answer import TEXT, VERSION
from yards.rules import fields, plain


@dataclass(frozen=True, slots=True)
class Assignment:
    """Whose the alert is to be."""

    person: UUID
    version: int | None


def assignment(raw: object) -> Assignment:
    """Return a checked assignment. Raises Invalid with every fault."""
    sheet = fields.Reader(raw)
    person = sheet.uuid("person", required=True)
    version = sheet.integer("version", low=1, high=VERSION)
    sheet.finish()
    return Assignment(fields.given(person), version)


@dataclass(frozen=True, slots=True)
class Comment:
    """Words about an alert; they change nothing of it."""

    id: UUID | None
    text: str

    def content(self) -> dict[str, object]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


def comment(raw: object) -> Comment:
    """Return a checked comment. Raises Invalid with every fault."""
    sheet = fields.Reader(raw)
    ref = sheet.uuid("id")
    text = sheet.text("text", most=TEXT, lines=True, required=True)
    sheet.finish()
    return Comment(ref, text)
