"""Whose access ends is told as the mapper would tell it, in the names that the organisation has."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta

import pytest
import uuid_utils.compat as uuid_utils
from django.db.models import Exists, F, OuterRef, Q

from tests import cast, factories
from yards.access.grants import in_force_at
from yards.models import Erasure, Grant, User, rows
from yards.queries import endings, people
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = cast.ENDS.replace(year=2026)
SOON, DAY, TICK = NOW + endings.WARNED, timedelta(days=1), timedelta(microseconds=1)


def by_the_mapper(viewer: Viewer) -> list[endings.Ending]:
    here = people.grants_here(viewer)
    further = here.filter(
        Q(until_at__isnull=True) | Q(until_at__gt=OuterRef("until_at")),
        person_id=OuterRef("person_id"),
        role=OuterRef("role"),
        from_at__lte=OuterRef("until_at"),
        revoked_at__isnull=True,
    )
    found = here.filter(
        ~Exists(further),
        in_force_at(NOW),
        person__is_active=True,
        until_at__lte=SOON,
        until_at__gt=F("from_at") + endings.LASTS,
    )
    return [
        endings.Ending(
            each.ref,
            people.PersonName(each.person.id, each.person.name),
            each.role,
            each.until_at or NOW,
            people.name_of(each.issued_by),
        )
        for each in found.select_related("person", "issued_by").order_by("until_at", "id")
    ]


def test_endings_are_told_at_each_bound_and_name_whom_the_organisation_has_erased_by_an_alias(
    inside: Inside,
) -> None:
    tobias, isolde = cast.ref("tobias"), cast.ref("isolde")
    with inside("isolde") as viewer:

        def granted(key: str, **facts: object) -> Grant:
            made: Grant = factories.GrantFactory.create(
                organisation_id=viewer.organisation,
                person_id=cast.ref(key),
                **{"role": "auditor", "all_yards": True, "issued_by_id": isolde, **facts},
            )
            return made

        for key, until in (("keziah", NOW + TICK), ("maud", SOON), ("isolde", SOON + TICK)):
            granted(key, until_at=until, issued_by_id=tobias)
        for lasts in (endings.LASTS, endings.LASTS + TICK):
            granted("hollis", role="coordinator", from_at=NOW, until_at=NOW + lasts)
        ending = NOW + 3 * DAY
        granted("maud", role="coordinator", until_at=ending)
        granted("maud", role="coordinator", from_at=ending, revoked_at=NOW)
        granted("keziah", role="coordinator", until_at=ending)
        granted("keziah", role="coordinator", from_at=ending)
        name = User.objects.get(id=tobias).name
        for alias in ("", "Erased person 1"):
            if alias:
                Erasure.objects.create(
                    organisation_id=viewer.organisation, ref=uuid_utils.uuid7(), person_id=tobias,
                    number=1, alias=alias, at=NOW, by_id=isolde, reason="Asked for",
                )  # fmt: skip
            told = endings.soon(viewer, NOW)
            assert list(told) == by_the_mapper(viewer)
            assert {each.issued_by.name for each in told if each.issued_by} >= {alias or name}
            assert (name in str(told)) == (not alias)
            mine = [each for each in told if each.issued_by and each.issued_by.id == isolde]
            assert list(endings.of_mine(viewer, NOW)) == mine
            assert 0 < len(mine) < len(told)


def test_no_statement_of_ours_reads_the_columns_of_a_person_as_they_stand() -> None:
    with pytest.raises(TypeError, match="User"):
        rows.columns(User, "person")
