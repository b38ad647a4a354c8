"""An erased person's alias in the place of their name, in the texts that others wrote.

The rest of each text stays, since it is about the animal. The database holds it to that: see
``tenancy.unnamed``.
"""

from collections.abc import Mapping
from uuid import UUID

from django.apps import apps
from django.db import connection, models
from psycopg import sql

from scoring.queries import personal
from yards import isolation
from yards.rules.roles import Viewer

# By table, the columns in which people write; names of horses, yards and tapes are not among them.
WORDS: Mapping[str, tuple[str, ...]] = {
    "yards_horse": ("handling",),
    "yards_horseevent": ("note",),
    "yards_grant": ("reason",),
    "yards_restriction": ("reason",),
    "yards_glassbreak": ("reason",),
    "scoring_assessment": ("note", "limits", "held_by", "reason"),
    "scoring_weighing": ("reason",),
    "scoring_concern": ("note",),
    "scoring_clinicalnote": ("text", "reason"),
    "scoring_question": ("text",),
    "scoring_questionend": ("text",),
    "scoring_vetorder": ("reason",),
    "scoring_vetorderend": ("reason",),
    "scoring_alert": ("note", "next_step", "snooze_reason", "resolve_reason", "vet_said"),
    "scoring_alertact": ("text",),
    "scoring_absence": ("reason",),
    "scoring_rulesetting": ("reason",),
    "scoring_ruleexception": ("reason", "end_reason"),
    "scoring_escalationpolicy": ("reason",),
}
# A line that would grow too long for its column stays.
_NEW = "halfpoint_unnamed(held.{column}, u.name, u.email, gone.alias)"
_FITS = sql.SQL(f"char_length({_NEW}) <= {{most}}")
_SET = sql.SQL(f"{{column}} = CASE WHEN {{fits}} THEN {_NEW} ELSE held.{{column}} END")
_CHANGED = sql.SQL(f"held.{{column}} <> '' AND held.{{column}} <> {_NEW} AND {{fits}}")
_UPDATE = sql.SQL(
    "UPDATE {table} held SET {sets} FROM yards_user u, yards_erasure gone WHERE u.id = %s"
    " AND gone.person_id = u.id AND gone.organisation_id = %s"
    " AND held.organisation_id = gone.organisation_id AND ({changed})"
)
_ANY = 1_000_000


def unname(viewer: Viewer, person: UUID) -> int:
    """Put the alias in the place of the name and address of somebody erased; return how many rows.

    What stands on a horse that is closed to the viewer stays.
    """
    isolation.required(viewer)
    rows = 0
    with connection.cursor() as cursor:
        for model in apps.get_models():
            if columns := WORDS.get(personal.table_of(model)):
                statement = _statement(model, columns).as_string(None)
                cursor.execute(statement, [str(person), str(viewer.organisation)])
                rows += cursor.rowcount
    return rows


def _statement(model: type[models.Model], columns: tuple[str, ...]) -> sql.Composed:
    most = {each.column: getattr(each, "max_length", None) for each in personal.columns(model)}
    sets, changed = [], []
    for name in columns:
        column, longest = sql.Identifier(name), sql.Literal(most[name] or _ANY)
        fits = _FITS.format(column=column, most=longest)
        sets.append(_SET.format(column=column, fits=fits))
        changed.append(_CHANGED.format(column=column, fits=fits))
    return _UPDATE.format(
        table=sql.Identifier(personal.table_of(model)),
        sets=sql.SQL(", ").join(sets),
        changed=sql.SQL(" OR ").join(changed),
    )
