"""The service broken on purpose, each in one way that projects ship: the harness must see it.

Each module's ``breaks()`` puts its fault into the running service (``served/broken.py``); some need
the database changed too. One that survives would mean that the harness is blind.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from deploy.launch import house
from tests.faults import report, run
from tests.faults.site import Site

WHOLE = "unbroken"


@dataclass(frozen=True)
class Control:
    """One broken variant: which faults show it, and what it changes in the database."""

    said: str
    faults: Sequence[str]
    sql: Sequence[str] = ()
    hands: int = 2
    later: bool = False
    parts: Sequence[str] = house.PARTS


_NO_KEY = """DO $$ DECLARE each name; BEGIN
FOR each IN SELECT conname FROM pg_constraint WHERE contype = 'u'
    AND conrelid = 'scoring_assessment'::regclass AND conname NOT LIKE '%_in'
LOOP EXECUTE format('ALTER TABLE scoring_assessment DROP CONSTRAINT %I', each); END LOOP; END $$"""
_NO_FORCE = """DO $$ DECLARE each name; BEGIN
FOR each IN SELECT relname FROM pg_class WHERE relforcerowsecurity
LOOP EXECUTE format('ALTER TABLE %I NO FORCE ROW LEVEL SECURITY', each); END LOOP; END $$"""
_ASYNCHRONOUS = "ALTER ROLE halfpoint_web SET synchronous_commit = off"
_SYNCHRONOUS = "ALTER ROLE halfpoint_web RESET synchronous_commit"

QUEUE = ("worker and broker", "broker down", "worker and broker")
# What shows in readings and rows alone needs nobody who sends.
WEB = ("web",)
CONTROLS: Mapping[str, Control] = {
    "asynchronous": Control(
        "a commit is answered before it is on the disk",
        ("database, all of it",) * 8,
        (_ASYNCHRONOUS,),
        hands=5,
        parts=WEB,
    ),
    "check_then_insert": Control(
        "a reading's id is looked for, then inserted, with no key in the database",
        ("web process", "web process"),
        (_NO_KEY,),
        hands=4,
        parts=WEB,
    ),
    "session_setting": Control(
        "the organisation is set for the session, not for the transaction",
        ("web process",),
        parts=WEB,
    ),
    "no_force": Control(
        "row security is not forced on the owner", ("web process",), (_NO_FORCE,), parts=WEB
    ),
    "after_commit": Control("messages are queued after the commit, without an outbox", QUEUE),
    "countdown": Control("the next rung is a countdown in the queue, not a row", QUEUE, later=True),
    WHOLE: Control(
        "nothing is broken: must stay green",
        (*QUEUE, "database, all of it", "postmaster"),
        later=True,
    ),
}


def report_all(site: Site, kept: Path, only: Sequence[str] | None = None) -> int:
    """Run the unbroken service and every control; 0 when that is green and these are caught."""
    names = [name for name in CONTROLS if not only or name in only]
    caught, broken = 0, [name for name in names if name != WHOLE]
    is_blind = False
    report.say("| control | found |\n|---|---|")
    for name in names:
        control = CONTROLS[name]
        is_whole = name == WHOLE
        plan = run.Plan(
            seed=1,
            faults=control.faults,
            calm=6.0,
            hands=control.hands,
            every=1,
            waits=False,
            later=control.later,
            parts=control.parts,
        )
        said = "" if is_whole else name
        done = run.attack(site, plan, kept / f"control-{name}.jsonl", said, control.sql)
        bad = done.verdict.bad()
        found = ", ".join(f"{what.replace('_', ' ')} {count}" for what, count in bad.items())
        report.say(f"| {name}: {control.said} | {found or 'nothing'} |")
        caught += bool(bad) and not is_whole
        is_blind |= bool(bad) if is_whole else not bad
        if _ASYNCHRONOUS in control.sql:
            with site.above() as above:
                above.execute(_SYNCHRONOUS)
    report.say(f"\ncaught {caught}/{len(broken)}")
    return 1 if is_blind else 0
