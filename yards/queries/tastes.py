"""A reader's language and units: opened once at the edge, asked by every sentence and figure."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext

from yards.models import User
from yards.rules import units


@dataclass(frozen=True, slots=True)
class Tastes:
    """How one person reads: a language of the service, and a unit of each kind."""

    language: str = ""
    weight: str = units.KG
    length: str = units.CM
    height: str = units.CM


_PLAIN = Tastes()
_now: ContextVar[Tastes] = ContextVar("tastes", default=_PLAIN)


def of_person(user: User) -> Tastes:
    """Return a person's tastes; a language that the service has not is the service's own."""
    known = {code for code, _ in settings.LANGUAGES}
    language = user.language if user.language in known else settings.LANGUAGE_CODE
    return Tastes(language, user.weight_unit, user.length_unit, user.height_unit)


def of_address(email: str) -> Tastes:
    """Return the tastes of whoever signs in by a lower-case address; of nobody, the service's."""
    user = User.objects.filter(email=email).first()
    return Tastes(settings.LANGUAGE_CODE) if user is None else of_person(user)


def current() -> Tastes:
    """Return the tastes that are open here."""
    return _now.get()


@contextmanager
def of(tastes: Tastes) -> Iterator[None]:
    """Open somebody's tastes for everything that is said and shown inside."""
    token = _now.set(tastes)
    try:
        with translation.override(tastes.language or translation.get_language()):
            yield
    finally:
        _now.reset(token)


def name(unit: str) -> str:
    """Return what a unit is called after a figure."""
    return {
        units.KG: gettext("kg"),
        units.LB: gettext("lb"),
        units.CM: gettext("cm"),
        units.IN: gettext("in"),
        units.HANDS: gettext("hands"),
    }[unit]


def _said(value: Decimal | float | str | None, unit: str) -> str:
    if value is None or value == "":
        return ""
    figure = units.shown(Decimal(str(value)), unit)
    return gettext("{figure} {unit}").format(figure=figure, unit=name(unit))


def weight(kg: Decimal | float | str | None) -> str:
    """Return kilograms in the reader's unit, named; nothing for nothing."""
    return _said(kg, current().weight)


def length(cm: Decimal | float | str | None) -> str:
    """Return centimetres of a girth or a length in the reader's unit, named."""
    return _said(cm, current().length)


def height(cm: Decimal | float | str | None) -> str:
    """Return centimetres at the withers in the reader's unit, named."""
    return _said(cm, current().height)
