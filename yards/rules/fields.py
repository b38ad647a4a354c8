"""Reads raw input, from JSON or a form, into typed values, and collects every fault on the way.

One kit for API, batch and pages, so that one sheet is refused for the same reasons everywhere. A
reading method answers a harmless stand-in after a fault; ``finish`` then raises Invalid with all of
them, so nothing read is used before it. Null, blank and absent are the same. Numbers come in as
``json.Number`` or text, ids and times as text; Python floats are never taken.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from typing import TypeVar
from uuid import UUID

from yards.rules import errors, forms
from yards.rules.errors import FieldError
from yards.rules.plain import printable

Value = TypeVar("Value")
LIST_AT_MOST = 500


def given(value: Value | None) -> Value:
    """Return a required value after ``finish``, which has refused its absence."""
    if value is None:
        raise RuntimeError("finish() let a missing value through")
    return value


def _joined(prefix: str, name: str) -> str:
    return f"{prefix}.{name}" if prefix and name else prefix or name


class Reader:
    """Reads one mapping, name by name. Names nobody asked for are refused by ``finish``."""

    def __init__(self, raw: object, prefix: str = "", faults: list[FieldError] | None = None):
        self.prefix = prefix
        self.faults: list[FieldError] = [] if faults is None else faults
        self._raw: Mapping[object, object] = raw if isinstance(raw, Mapping) else {}
        self._known: set[object] = set()
        self._inner: list[Reader] = []
        if not isinstance(raw, Mapping):
            self.refuse("", "not_an_object")

    def refuse(self, name: str, key: str, **params: str | int) -> None:
        """Note a fault of a field of this mapping."""
        self.faults.append(FieldError(_joined(self.prefix, name), key, params))

    def has(self, name: str) -> bool:
        """Return whether the name was sent at all, be it as null."""
        return name in self._raw

    def raw(self, name: str) -> object:
        """Return what was sent under a name, which is thereby known."""
        self._known.add(name)
        return self._raw.get(name)

    def finish(self) -> None:
        """Raise Invalid with every fault found, unknown names among them."""
        self._refuse_unknown()
        if self.faults:
            raise errors.Invalid(*self.faults)

    def _refuse_unknown(self) -> None:
        for name in self._raw:
            if name not in self._known:
                self.refuse(printable(name), "unknown_field")
        for inner in self._inner:
            inner._refuse_unknown()  # noqa: SLF001 - its own kind

    def _read(self, name: str, required: bool, form: Callable[[object], Value]) -> Value | None:
        sent = self.raw(name)
        if sent is None or (isinstance(sent, str) and not sent.strip()):
            if required:
                self.refuse(name, "required")
            return None
        try:
            return form(sent)
        except forms.Unfit as unfit:
            self.refuse(name, unfit.key, **unfit.params)
            return None

    def text(
        self,
        name: str,
        *,
        most: int,
        required: bool = False,
        lines: bool = False,
        default: str = "",
    ) -> str:
        """Return text, NFC and stripped, of at most ``most`` characters; ``lines`` lets it run on.

        Control characters, lone surrogates and overrides of the writing direction are refused.
        """
        found = self._read(name, required, lambda sent: forms.text(sent, most, lines))
        return default if found is None else found

    def phone(self, name: str) -> str:
        """Return a telephone number as people write it, 5 to 32 characters, or nothing."""
        return self._read(name, False, forms.phone) or ""

    def choice(
        self, name: str, choices: Collection[str], *, required: bool = False, default: str = ""
    ) -> str:
        """Return one of a closed list."""
        found = self._read(name, required, lambda sent: forms.choice(sent, choices))
        return default if found is None else found

    def flag(self, name: str, *, default: bool | None = None) -> bool | None:
        """Return true or false."""
        found = self._read(name, False, forms.flag)
        return default if found is None else found

    def uuid(self, name: str, *, required: bool = False) -> UUID | None:
        """Return an id in its usual form, 8-4-4-4-12 hexadecimal digits."""
        return self._read(name, required, forms.uuid)

    def decimal(
        self,
        name: str,
        *,
        low: Decimal | int,
        high: Decimal | int,
        places: int,
        required: bool = False,
    ) -> Decimal | None:
        """Return a plain decimal between two bounds, both allowed, with at most ``places``."""
        return self._read(name, required, lambda sent: forms.decimal(sent, low, high, places))

    def integer(self, name: str, *, low: int, high: int, required: bool = False) -> int | None:
        """Return a whole number between two bounds, both allowed."""
        return self._read(name, required, lambda sent: forms.integer(sent, low, high))

    def instant(self, name: str, *, required: bool = False) -> datetime | None:
        """Return an instant in UTC from RFC 3339 with an offset; a time without one is refused."""
        return self._read(name, required, forms.instant)

    def local_date(self, name: str, *, required: bool = False) -> date | None:
        """Return a day, written 2026-04-12."""
        return self._read(name, required, forms.local_date)

    def month_day(self, name: str, *, required: bool = False) -> str | None:
        """Return a day of any year, written 03-01; 02-29 is one."""
        return self._read(name, required, forms.month_day)

    def clock_time(self, name: str, *, required: bool = False) -> time | None:
        """Return a time of day, written 21:30."""
        return self._read(name, required, forms.clock_time)

    def items(self, name: str, *, most: int = LIST_AT_MOST) -> Sequence[object]:
        """Return a list as it was sent, or nothing."""
        sent = self.raw(name)
        if sent is None:
            return ()
        if isinstance(sent, str | bytes) or not isinstance(sent, Sequence):
            self.refuse(name, "not_a_list")
            return ()
        if len(sent) > most:
            self.refuse(name, "too_many", most=most)
            return ()
        return sent

    def choices(self, name: str, closed: Collection[str]) -> tuple[str, ...]:
        """Return those of a closed list that were sent, each once, in the list's own order."""
        sent = self._each(name, lambda item: forms.choice(item, closed))
        return tuple(each for each in closed if each in sent)

    def uuids(self, name: str) -> tuple[UUID, ...]:
        """Return ids, each once, sorted: their order says nothing."""
        return tuple(sorted(set(self._each(name, forms.uuid))))

    def ordered(self, name: str) -> tuple[UUID, ...]:
        """Return ids in the order that they were sent in; one sent twice is refused."""
        found = self._each(name, forms.uuid)
        for place, ref in enumerate(found):
            if ref in found[:place]:
                self.refuse(f"{name}.{place}", "named_twice")
        return tuple(found)

    def _each(self, name: str, form: Callable[[object], Value]) -> list[Value]:
        found: list[Value] = []
        for place, item in enumerate(self.items(name)):
            try:
                found.append(form(item))
            except forms.Unfit as unfit:
                self.refuse(f"{name}.{place}", unfit.key, **unfit.params)
        return found

    def inside(self, name: str) -> "Reader | None":
        """Return a reader of the mapping under a name, or None where there is none."""
        sent = self.raw(name)
        if sent is None:
            return None
        return self.beside(sent, name)

    def beside(self, sent: object, name: str) -> "Reader":
        """Return a reader of a mapping that stands here under a name, or a place in a list."""
        inner = Reader(sent, _joined(self.prefix, name), self.faults)
        self._inner.append(inner)
        return inner
