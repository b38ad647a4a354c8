"""Rows for tests, made straight in the tables as the runtime role, inside an open organisation."""

import hashlib
from datetime import date
from typing import Any
from uuid import UUID

import factory
import uuid_utils.compat as uuid_utils
from factory.django import DjangoModelFactory

from tests.cast import BEGAN, ENDS
from yards.models import (
    Entry,
    ErasedPayload,
    Erasure,
    Grant,
    GrantYard,
    Horse,
    Stay,
    Token,
    Yard,
)
from yards.rules.roles import Viewer


class OwnedFactory(DjangoModelFactory):
    class Meta:
        abstract = True

    ref = factory.LazyFunction(uuid_utils.uuid7)


class YardFactory(OwnedFactory):
    class Meta:
        model = Yard

    name = factory.Sequence(lambda n: f"Yard {n}")
    name_key = factory.LazyAttribute(lambda yard: yard.name.casefold())
    time_zone = "Europe/London"
    hemisphere = "north"
    created_at = BEGAN


class HorseFactory(OwnedFactory):
    class Meta:
        model = Horse
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Horse {n}")
    name_key = factory.LazyAttribute(lambda horse: horse.name.casefold())
    species = "horse"
    use = "leisure"
    born = ""
    born_earliest = factory.LazyAttribute(
        lambda horse: date.fromisoformat(f"{horse.born}-01-01"[:10]) if horse.born else None
    )
    laminitis = "never"
    endocrine = "none"
    status = "present"
    created_at = BEGAN

    @factory.post_generation
    def stay(self: Any, create: bool, extracted: object, **kwargs: Any) -> None:
        Stay.objects.create(
            organisation_id=self.organisation_id,
            ref=uuid_utils.uuid7(),
            horse=self,
            yard=self.yard,
            from_at=BEGAN,
        )


class GrantFactory(OwnedFactory):
    class Meta:
        model = Grant

    from_at = BEGAN
    issued_at = BEGAN
    registration_number = factory.LazyAttribute(lambda g: "7002001" if g.role == "vet" else "")
    register = factory.LazyAttribute(lambda g: "invented register" if g.role == "vet" else "")
    confirmed_at = factory.LazyAttribute(lambda g: BEGAN if g.role == "vet" else None)
    content_digest = b"\x00" * 32


class TokenFactory(OwnedFactory):
    class Meta:
        model = Token
        exclude = ["raw"]

    raw = "hp_test"
    digest = factory.LazyAttribute(lambda token: hashlib.sha256(token.raw.encode()).digest())
    created_at = BEGAN
    expires_at = ENDS


def grant_yard(grant: Grant, yard: UUID) -> GrantYard:
    """Name a yard in a grant."""
    return GrantYard.objects.create(
        organisation_id=grant.organisation_id,
        ref=uuid_utils.uuid7(),
        grant=grant,
        yard=Yard.objects.get(ref=yard),
    )


def erase_payload(viewer: Viewer, entry: Entry, *, person: UUID) -> None:
    """Say of an entry that its payload went with somebody, as an erasure does."""
    here = {"organisation_id": viewer.organisation}
    erasure = Erasure.objects.create(
        ref=uuid_utils.uuid7(),
        person_id=person,
        number=1,
        alias="Erased person 1",
        at=BEGAN,
        by_id=viewer.person or person,
        reason="Asked for it",
        **here,
    )
    ErasedPayload.objects.create(ref=uuid_utils.uuid7(), erasure=erasure, entry=entry, **here)
