"""What happens to one animal in the invented past besides its rounds, as the scenario says."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from scoring.actions import assessments, clinical_notes, concerns, questions, vet_orders
from scoring.management.demo import days, houses
from scoring.queries import clinical_notes as notes
from scoring.queries import questions as asked
from scoring.rules import question
from yards.actions import events, horses

Told = Mapping[str, Any]


def event(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    """Record something that befell the animal: ``do`` is one of the kinds of events."""
    raw = {"kind": told["do"], "at": at.isoformat(), "note": told.get("note", "")}
    events.record_event(house.coordinator, house.horses[horse["name"]], raw, now=at)


def _concern(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    raw = {"seen_at": at.isoformat(), "danger_signs": told["signs"], "note": told["note"]}
    viewer = house.people[told["by"]].viewer
    concerns.record_concern(viewer, house.horses[horse["name"]], raw, now=at)


def _order(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    kept = {
        key: told[key] for key in ("band", "score_days", "weight_days", "reason") if key in told
    }
    raw = {**kept, "until": (at + told["days"] * days.DAY).isoformat()}
    if house.vet is not None:
        vet_orders.give_vet_order(house.vet, house.horses[horse["name"]], raw, now=at)


def _move(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    raw = {"yard": str(house.yards[told["to"]]), "at": at.isoformat()}
    horses.move_horse(house.coordinator, house.horses[horse["name"]], raw, now=at)
    house.stands[horse["name"]] = told["to"]


def _correct(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    """Correct the reading of another day, ``of`` days ago, by the hand that made it."""
    first = house.readings[horse["name"], told["of"]]
    raw = {**first.raw, "regions": told["regions"], "weighing": None, "reason": told["reason"]}
    assessments.correct_assessment(first.viewer, first.ref, raw, now=at)


def _ask(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    viewer = house.people[told["by"]].viewer
    questions.ask(viewer, house.horses[horse["name"]], {"text": told["text"]}, now=at)


def _answer(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    """Let the vet answer the question that has waited longest."""
    wanted = asked.Wanted(house.horses[horse["name"]], question.OPEN)
    if house.vet is not None:
        first = asked.list_questions(house.vet, wanted).items[-1]
        questions.answer(house.vet, first.id, {"text": told["text"]}, now=at)


def _note(house: houses.House, horse: Told, told: Told, at: datetime) -> None:
    """Let the vet write a note; with a reason it corrects the one before."""
    ref, raw = house.horses[horse["name"]], {"text": told["text"]}
    if house.vet is None:
        return
    if "reason" not in told:
        clinical_notes.write(house.vet, ref, raw, now=at)
        return
    before = notes.list_notes(house.vet, ref).items[0]
    clinical_notes.correct(house.vet, before.id, {**raw, "reason": told["reason"]}, now=at)


_DOES: Mapping[str, Callable[[houses.House, Told, Told, datetime], None]] = {
    "concern": _concern,
    "order": _order,
    "ask": _ask,
    "answer": _answer,
    "note": _note,
    "move": _move,
    "correct": _correct,
}


def live(house: houses.House, horse: Told, told: Told, at: datetime) -> bool:
    """Let one thing of the scenario happen."""
    _DOES.get(told["do"], event)(house, horse, told, at)
    return True
