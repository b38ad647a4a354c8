"""A mark of its own in every column of text that the other organisation has.

Every row of ours is copied into theirs: under the same ids that clients see and with smaller keys,
so that whatever finds a row past the wall finds theirs first. Its people are others, and each
column that holds words (text, JSON, lists, bytes) holds a canary instead, wherever the database
takes one. What columns there are is asked of PostgreSQL's catalog, so that none is forgotten.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid5

import psycopg
from django.conf import settings
from psycopg import sql
from psycopg.rows import dict_row
from psycopg.types.json import Jsonb

from tests import cast, copies

# A letter that nothing of ours has: the ideogram of a horse in Linear B. Two of 36 signs follow it.
MARK = "\U00010083"
_SIGNS = "0123456789abcdefghijklmnopqrstuvwxyz"
_SEEN = re.compile(
    rb"(\xf0\x90\x82\x83|\\ud800\\udc83|%F0%90%82%83|&#(65667|x10083);)([0-9a-z]{2})", re.IGNORECASE
)
_COLUMNS = """
SELECT c.relname, a.attname, t.typname, a.attgenerated <> '',
    information_schema._pg_char_max_length(a.atttypid, a.atttypmod)
FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid JOIN pg_type t ON t.oid = a.atttypid
WHERE c.relname = ANY (%s) AND a.attnum > 0 AND NOT a.attisdropped
ORDER BY c.relname, a.attnum
"""
_KEYS = """
SELECT t.relname, a.attname, r.relname FROM pg_constraint c
JOIN pg_class t ON t.oid = c.conrelid JOIN pg_class r ON r.oid = c.confrelid
JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = ANY (c.conkey)
WHERE c.contype = 'f' AND t.relname = ANY (%s) AND a.attname <> 'organisation_id'
"""
# Columns that no two rows of either organisation may share, so that no copy stands with ours.
_ALONE = """
SELECT t.relname, a.attname FROM pg_index i JOIN pg_class t ON t.oid = i.indrelid
JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum = ANY (i.indkey)
WHERE t.relname = ANY (%s) AND i.indisunique AND NOT i.indisprimary
  AND NOT EXISTS (SELECT FROM pg_attribute o WHERE o.attrelid = t.oid
                  AND o.attname = 'organisation_id' AND o.attnum = ANY (i.indkey))
"""
_WORDS = ("varchar", "text", "jsonb", "bytea", "_varchar", "_text")
PEOPLE, HOUSE = "yards_user", "yards_organisation"
INTO = "SELECT set_config('halfpoint.organisation', %s, true)"
Row = dict[str, Any]


@dataclass(frozen=True)
class Column:
    """One column with words; ``number`` is what its canaries end in."""

    table: str
    name: str
    kind: str
    most: int | None
    number: int

    def __str__(self) -> str:
        return f"{self.table}.{self.name}"

    def sung(self, row: int, held: Any) -> Any:
        """A value with the canary, in the shape of what is held; ``row`` tells it from others."""
        word = f"{MARK}{_two(self.number)}"
        word = f"{word}.{row}" if self.most is None or self.most > 8 else word
        if self.kind == "bytea":
            return word.encode()
        if self.kind.startswith("_"):
            return [word]
        if self.kind == "jsonb":
            return Jsonb(_in_json(held, word))
        return word


def _two(number: int) -> str:
    return _SIGNS[number // 36] + _SIGNS[number % 36]


def _in_json(held: Any, word: str) -> Any:
    """Put a word for every text, and in where there is none."""
    changed = _worded(held, word)
    if changed != held:
        return changed
    return [*held, word] if isinstance(held, list) else {**(held or {}), "canary": word}


def _worded(held: Any, word: str) -> Any:
    if isinstance(held, dict):
        return {key: _worded(each, word) for key, each in held.items()}
    if isinstance(held, list):
        return [_worded(each, word) for each in held]
    return word if isinstance(held, str) else held


def heard(*said: bytes) -> set[str]:
    """The canaries in what was said, by the two signs that each ends in."""
    return {found[3].decode() for each in said for found in _SEEN.finditer(each)}


@dataclass
class Cage:
    """Puts them there; ``columns`` are those with words, ``silent`` those that take no canary."""

    conn: psycopg.Connection[Row]
    columns: dict[str, list[Column]] = field(default_factory=dict)
    keys: dict[tuple[str, str], str] = field(default_factory=dict)
    made: set[tuple[str, str]] = field(default_factory=set)
    alone: set[tuple[str, str]] = field(default_factory=set)
    silent: set[str] = field(default_factory=set)
    empty: set[str] = field(default_factory=set)

    def fill(self) -> None:
        """Copy all that is ours into theirs, with a canary in each word that may hold one."""
        tables = [*settings.TABLE_CLASSES["door"], *settings.TABLE_CLASSES["tenant"]]
        tables = [PEOPLE, *(each for each in tables if each != HOUSE)]
        self._learn([*tables, HOUSE])
        with self.conn.transaction():
            self.conn.execute("SET CONSTRAINTS ALL DEFERRED")
            self.conn.execute(INTO, [str(cast.ref(cast.QUILLET))])
            ours = {table: self._read(table) for table in tables}
            self.conn.execute(INTO, [str(cast.ref(cast.LARCHGILL))])
            for table, rows in ours.items():
                self._copy(table, [self._theirs(table, each) for each in rows])
            self._name_the_house()

    def _learn(self, tables: Sequence[str]) -> None:
        found = self.conn.cursor(row_factory=psycopg.rows.tuple_row)
        told = found.execute(_COLUMNS, [tables]).fetchall()
        self.made = {(table, name) for table, name, _, is_made, _ in told if is_made}
        held = [row for row in told if row[2] in _WORDS and not row[3]]
        for number, (table, name, kind, _, most) in enumerate(held):
            column = Column(table, name, kind, most, number)
            self.columns.setdefault(table, []).append(column)
        self.keys = {(table, name): to for table, name, to in found.execute(_KEYS, [tables])}
        self.alone = {(table, name) for table, name in found.execute(_ALONE, [tables])}

    def _read(self, table: str) -> list[Row]:
        rows = self.conn.execute(
            sql.SQL("SELECT * FROM {} ORDER BY id").format(sql.Identifier(table))
        ).fetchall()
        if not rows:
            self.empty.add(table)
        return rows

    def _theirs(self, table: str, row: Row) -> Row:
        """A row as theirs: their house, their people, keys that come before ours."""
        if table == PEOPLE:
            return {**row, "id": _other(row["id"])}
        found = {name: each for name, each in row.items() if (table, name) not in self.made}
        found |= {"id": -row["id"], "organisation_id": cast.ref(cast.LARCHGILL)}
        for name, value in row.items():
            to = self.keys.get((table, name))
            if to is not None and to != HOUSE and value is not None:
                found[name] = _other(value) if to == PEOPLE else -value
        return found

    def _copy(self, table: str, rows: list[Row]) -> None:
        """Write the rows, each with the canaries that it takes."""
        columns = self.columns.get(table, ())
        for column in columns:
            if (table, column.name) in self.alone:
                for at, row in enumerate(rows):
                    row[column.name] = column.sung(at, row[column.name])
        taken: list[Row] = [{} for _ in rows]
        for column in columns:
            sung = [{column.name: column.sung(at, row[column.name])} for at, row in enumerate(rows)]
            pairs = [{**row, **one} for row, one in zip(rows, sung, strict=True)]
            if self._takes(table, pairs):
                fits = [True] * len(rows)
            else:
                fits = [self._takes(table, [each]) for each in pairs]
            for held, one, fit in zip(taken, sung, fits, strict=True):
                held.update(one if fit else {})
            if not any(fits):
                self.silent.add(str(column))
        self._write(table, [{**row, **held} for row, held in zip(rows, taken, strict=True)])

    def _takes(self, table: str, rows: list[Row]) -> bool:
        try:
            with self.conn.transaction():
                self._write(table, rows)
                raise psycopg.Rollback
        except (psycopg.IntegrityError, psycopg.DataError):
            return False
        return True

    def _write(self, table: str, rows: list[Row]) -> None:
        if not rows:
            return
        json = {each.name for each in self.columns.get(table, ()) if each.kind == "jsonb"}
        names = list(rows[0])
        comma = sql.SQL(", ")
        one = sql.SQL("({})").format(comma.join(sql.Placeholder() for _ in names))
        insert = sql.SQL("INSERT INTO {} ({}) VALUES {}").format(
            sql.Identifier(table),
            comma.join(map(sql.Identifier, names)),
            comma.join(one for _ in rows),
        )
        values = [_dumped(row[name], name in json) for row in rows for name in names]
        self.conn.execute(insert, values)

    def _name_the_house(self) -> None:
        for column in self.columns[HOUSE]:
            update = sql.SQL("UPDATE {} SET {} = %s WHERE id = %s").format(
                sql.Identifier(HOUSE), sql.Identifier(column.name)
            )
            try:
                with self.conn.transaction():
                    done = self.conn.execute(update, [column.sung(0, ""), cast.ref(cast.LARCHGILL)])
                    assert done.rowcount == 1
            except psycopg.IntegrityError:
                self.silent.add(str(column))


def _dumped(value: Any, is_json: bool) -> Any:
    return Jsonb(value) if is_json and value is not None and not isinstance(value, Jsonb) else value


def _other(person: UUID) -> UUID:
    """Somebody of theirs, for somebody of ours."""
    return uuid5(person, "theirs")


def caged(database: str) -> Cage:
    """Fill a database, as the owner of its tables."""
    with copies.owner(database) as owner:
        owner.row_factory = dict_row  # type: ignore[assignment]
        cage = Cage(owner)  # type: ignore[arg-type]
        cage.fill()
    return cage
