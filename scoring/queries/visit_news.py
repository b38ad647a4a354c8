"""What happened to horses since a vet's visit: eight queries for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.models import Alert, Assessment, ClinicalNote, Concern, VetOrder, Weighing
from scoring.queries import vet_orders
from scoring.queries.vet_orders import VetOrderCard
from yards.models import HorseEvent, Stay


@dataclass(frozen=True, slots=True)
class Correction:
    """A reading that was put right: ``what`` is score or weight, ``ref`` the new reading's id."""

    what: str
    ref: UUID
    at: datetime
    by: str
    reason: str


@dataclass(frozen=True, slots=True)
class Alarm:
    """An alert that was opened or resolved at a time."""

    ref: UUID
    rule: str
    severity: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Happening:
    """An event: its kind is a key of the closed list."""

    kind: str
    at: datetime
    note: str


@dataclass(frozen=True, slots=True)
class Concerned:
    """A concern that was recorded without a score."""

    at: datetime
    signs: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Move:
    """A stay that began; ``before`` is the yard it came from, empty for one newly come."""

    at: datetime
    before: str
    after: str


@dataclass(slots=True)
class News:
    """What is new of one horse. Readings are counted; corrected ones no longer count."""

    scores: int = 0
    weights: int = 0
    notes: int = 0
    corrections: list[Correction] = field(default_factory=list)
    opened: list[Alarm] = field(default_factory=list)
    resolved: list[Alarm] = field(default_factory=list)
    events: list[Happening] = field(default_factory=list)
    concerns: list[Concerned] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    orders: list[VetOrderCard] = field(default_factory=list)

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all is new."""
        told = (self.corrections, self.opened, self.resolved, self.events, self.concerns)
        counted = self.scores + self.weights + self.notes
        return not (counted or any(told) or self.moves or self.orders)


@dataclass(frozen=True, slots=True)
class _Asked:
    """Whose news, since when each, and until when an order's end is told."""

    owner: Mapping[int, int]
    since: Mapping[int, datetime]
    soon: datetime
    found: Mapping[int, News]

    @property
    def oldest(self) -> datetime:
        return min(self.since.values())

    def of(self, horse: int, at: datetime) -> News | None:
        """Return where something of a horse is told, None where it was before."""
        key = self.owner[horse]
        return self.found[key] if at >= self.since[key] else None


def news(
    owner: Mapping[int, int], since: Mapping[int, datetime], soon: datetime
) -> Mapping[int, News]:
    """Return what is new by horse key; ``since`` is from when, ``owner`` whose each row is.

    An order's end is told until ``soon``.
    """
    found = {key: News() for key in since}
    if not found:
        return found
    asked = _Asked(owner, since, soon, found)
    _readings(asked, Assessment, "scores")
    _readings(asked, Weighing, "weights")
    _notes(asked)
    _alerts(asked)
    _events(asked)
    _concerns(asked)
    _moves(asked)
    _orders(asked)
    return found


def _readings(asked: _Asked, model: type[Assessment] | type[Weighing], counted: str) -> None:
    rows: QuerySet[Any] = model.objects.filter(horse_id__in=asked.owner)
    rows = rows.filter(
        Q(corrected_at__gte=asked.oldest)
        | Q(supersedes__isnull=False, received_at__gte=asked.oldest)
    )
    told = rows.order_by("id").values_list(
        *("horse_id", "corrected_at", "received_at", "ref", "reason", "supersedes_id"),
        *("recorded_by__name", "superseded_by__id"),
    )
    for horse, taken, received, ref, reason, supersedes, by, newer in told:
        held = asked.of(horse, taken)
        if held is not None and newer is None:
            setattr(held, counted, getattr(held, counted) + 1)
        held = asked.of(horse, received)
        if held is not None and supersedes is not None:
            what = "score" if model is Assessment else "weight"
            held.corrections.append(Correction(what, ref, received, by, reason))


def _notes(asked: _Asked) -> None:
    """Count what was written, whatever it says: those who read a visit may read notes."""
    rows = ClinicalNote.objects.filter(horse_id__in=asked.owner, written_at__gte=asked.oldest)
    for horse, at in rows.values_list("horse_id", "written_at"):
        held = asked.of(horse, at)
        if held is not None:
            held.notes += 1


def _alerts(asked: _Asked) -> None:
    rows = Alert.objects.filter(horse_id__in=asked.owner)
    rows = rows.filter(Q(opened_at__gte=asked.oldest) | Q(resolved_at__gte=asked.oldest))
    for row in rows.order_by("id"):
        held = asked.of(row.horse_id, row.opened_at)
        if held is not None:
            held.opened.append(Alarm(row.ref, row.rule, row.severity, row.opened_at))
        held = asked.of(row.horse_id, row.resolved_at) if row.resolved_at else None
        if held is not None and row.resolved_at is not None:
            held.resolved.append(Alarm(row.ref, row.rule, row.severity, row.resolved_at))


def _events(asked: _Asked) -> None:
    rows = HorseEvent.objects.filter(horse_id__in=asked.owner)
    rows = rows.filter(Q(at__gte=asked.oldest) | Q(recorded_at__gte=asked.oldest))
    for row in rows.order_by("at", "id"):
        # One that was told late is news too, whenever it was.
        held = asked.of(row.horse_id, max(row.at, row.recorded_at))
        if held is not None:
            held.events.append(Happening(row.kind, row.at, row.note))


def _concerns(asked: _Asked) -> None:
    rows = Concern.objects.filter(horse_id__in=asked.owner, corrected_at__gte=asked.oldest)
    for row in rows.order_by("corrected_at", "id"):
        held = asked.of(row.horse_id, row.corrected_at)
        if held is not None:
            told = Concerned(row.corrected_at, tuple(row.danger_signs), row.note)
            held.concerns.append(told)


def _moves(asked: _Asked) -> None:
    """Tell the stays that began; one that ends as another begins is where it came from."""
    rows = Stay.objects.filter(horse_id__in=asked.since)
    rows = rows.filter(Q(from_at__gte=asked.oldest) | Q(until_at__gte=asked.oldest))
    left: dict[tuple[int, datetime], str] = {}
    for row in rows.select_related("yard").order_by("from_at", "id"):
        held = asked.of(row.horse_id, row.from_at)
        if held is not None:
            before = left.get((row.horse_id, row.from_at), "")
            held.moves.append(Move(row.from_at, before, row.yard.name))
        if row.until_at is not None:
            left[row.horse_id, row.until_at] = row.yard.name


def _orders(asked: _Asked) -> None:
    """Tell the orders that have ended since, and those that will soon."""
    held = VetOrder.objects.filter(horse_id__in=asked.owner, until_at__gte=asked.oldest)
    rows = list(vet_orders.joined(held).order_by("until_at", "id"))
    for row, card in zip(rows, vet_orders.cards_of(rows), strict=True):
        told = asked.of(row.horse_id, card.ends_at)
        if told is not None and card.ends_at <= asked.soon:
            told.orders.append(card)
