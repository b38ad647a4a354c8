"""Rows, handed out only to those who may hold them.

Another organisation's row, one out of scope and one that never was are refused alike (NotFound); a
row in scope that the role may not use is NotAllowed.
"""

from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from yards import isolation
from yards.models import Horse, Yard, rows
from yards.rules import errors
from yards.rules.roles import Verb, Viewer, may


def require(viewer: Viewer, verb: Verb) -> None:
    """Raise NotAllowed unless the viewer's role holds the verb."""
    if not may(viewer, verb):
        raise errors.NotAllowed


def person_of(viewer: Viewer) -> UUID:
    """Return the person who acts, or raise NotAllowed: a timer records nothing of a horse."""
    if viewer.person is None:
        raise errors.NotAllowed
    return viewer.person


def yards_in_scope(viewer: Viewer) -> QuerySet[Yard]:
    """Return the yards that the viewer may know of, those of named horses included.

    A restriction hides a horse and not the yard where it stands.
    """
    isolation.required(viewer)
    if viewer.yards is None:
        return Yard.objects.all()
    named = Horse.objects.filter(scope(viewer), id__in=viewer.horses).values("yard_id")
    return Yard.objects.filter(Q(id__in=viewer.yards) | Q(id__in=named))


def scope(viewer: Viewer, *, horse: str = "", yard: str = "yard_id") -> Q:
    """Return the condition that a horse is in the viewer's scope.

    ``horse`` and ``yard`` are the columns of the queried table that hold the horse's and its
    yard's keys; ``horse`` empty is the horse table itself. The database holds restrictions and a
    bounded record once more, for whatever is asked past this: ``tenancy.sight``.
    """
    key = f"{horse or 'id'}__in"
    open_to = ~Q(**{key: viewer.hidden}) if viewer.hidden else Q()
    if viewer.yards is None:
        return open_to
    return (Q(**{f"{yard}__in": viewer.yards}) | Q(**{key: viewer.horses})) & open_to


# ``scope`` of a table that a statement calls ``horse``: one text for everybody, so that it is
# planned once a connection. ``scope_of`` gives what it compares with.
IN_SCOPE = """(%(everywhere)s OR horse.yard_id = ANY(%(yards)s) OR horse.id = ANY(%(horses)s))
    AND NOT horse.id = ANY(%(hidden)s)"""


def scope_of(viewer: Viewer) -> dict[str, Any]:
    """Return what ``IN_SCOPE`` compares with."""
    return {
        "everywhere": viewer.yards is None,
        "yards": sorted(viewer.yards or ()),
        "horses": sorted(viewer.horses),
        "hidden": sorted(viewer.hidden),
    }


def scope_of_kin(viewer: Viewer) -> Q:
    """Return the condition that the horse of a row is in scope, where it stands now.

    What is of an unknown animal that turned out to be another is of that one too.
    """
    own = scope(viewer, horse="horse_id", yard="horse__yard_id")
    if viewer.yards is None:
        return own
    other = scope(viewer, horse="horse__merged_into_id", yard="horse__merged_into__yard_id")
    return (own | other) & ~Q(horse_id__in=viewer.hidden)


def horses_in_scope(viewer: Viewer) -> QuerySet[Horse]:
    """Return the horses that the viewer may know of."""
    isolation.required(viewer)
    return Horse.objects.filter(scope(viewer))


def yard_for_read(viewer: Viewer, ref: UUID) -> Yard:
    """Return one yard, or raise NotFound."""
    yard = yards_in_scope(viewer).filter(ref=ref).first()
    if yard is None:
        raise errors.NotFound
    return yard


def yard_for_write(viewer: Viewer, ref: UUID) -> Yard:
    """Return one yard locked for change, or raise NotFound or NotAllowed."""
    yard_for_read(viewer, ref)
    require(viewer, Verb.CHANGE_YARDS)
    return Yard.objects.select_for_update(no_key=True).get(ref=ref)


def sees_whole(viewer: Viewer, yard: Yard) -> bool:
    """Return whether the viewer may know of every horse in a yard, not of some that are named."""
    return viewer.yards is None or yard.id in viewer.yards


def yard_for_walk(viewer: Viewer, ref: UUID) -> Yard:
    """Return one yard locked for its walking order, or raise NotFound or NotAllowed.

    Whoever knows only some of its horses would set the others' places without seeing them.
    """
    yard = yard_for_read(viewer, ref)
    require(viewer, Verb.WALK_ROUNDS)
    if not sees_whole(viewer, yard):
        raise errors.NotAllowed
    return Yard.objects.select_for_update(no_key=True).get(ref=ref)


_HORSE = f"""SELECT {rows.columns(Horse, "horse")}, {rows.columns(Yard, "yard")}
    FROM yards_horse horse JOIN yards_yard yard ON yard.id = horse.yard_id
    WHERE horse.ref = %(ref)s AND {IN_SCOPE}"""  # noqa: S608 - constants only


def horse_for_read(viewer: Viewer, ref: UUID) -> Horse:
    """Return one horse with its yard, or raise NotFound."""
    isolation.required(viewer)
    found = rows.asked(_HORSE, {"ref": ref, **scope_of(viewer)})
    if not found:
        raise errors.NotFound
    horse: Horse
    horse, horse.yard = rows.several(found[0], Horse, Yard)
    return horse


def horse_for_write(viewer: Viewer, ref: UUID, verb: Verb) -> Horse:
    """Return one horse locked for change, or raise NotFound or NotAllowed.

    The yard is not joined: PostgreSQL would lose the row of a horse that moved while we waited.
    """
    horse_for_read(viewer, ref)
    require(viewer, verb)
    return Horse.objects.select_for_update(no_key=True).get(ref=ref)
