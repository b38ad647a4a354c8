"""One run: calm, faults in the order that the seed says, quiet, an hour later, and the judge."""

import contextlib
import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psycopg

from deploy.launch import house
from tests.faults import breaking, ground, judge, receiver
from tests.faults.history import History
from tests.faults.posting import Poster
from tests.faults.site import Site

CALM_S = 30.0  # every reading alarms, so that the delays of a quiet service are many
EVERY = 4  # one reading in so many alarms, once things are broken
READINGS = 5  # so many are answered between one fault and the next
RECOVERS_S = 180.0  # until a reading that was sent after a fault must have been told
SETTLES_S = 150.0  # without anything going
# The last rung of an urgent alert is half an hour up. A worker that ran an hour ahead has climbed
# it for some: so much later it is climbed again by all, each rung longer ago than it is high.
LATER_S = 2 * 3600 + 60


@dataclass(frozen=True)
class Plan:
    """What a run is to do."""

    seed: int
    faults: Sequence[str]
    minutes: float = 60.0
    calm: float = CALM_S
    hands: int = 2
    every: int = EVERY
    # Whether the next fault waits until readings are told again or only until they are answered,
    # and whether the last rung is looked for.
    waits: bool = True
    later: bool = True
    parts: Sequence[str] = house.PARTS

    @property
    def sends(self) -> bool:
        """Whether anything is there that sends messages."""
        return "worker" in self.parts


@dataclass
class Outcome:
    """What a run did and came to."""

    seed: int
    waits: bool = True
    done: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    verdict: judge.Verdict = field(default_factory=judge.Verdict)
    seconds: float = 0.0

    @property
    def kills(self) -> int:
        """How many of the faults were kills."""
        return sum(name in breaking.KILLS for name in self.done)


def deck(seed: int, kills: int) -> list[str]:
    """Return an order of faults with so many kills: of ten kills each kind has its share, and after
    every fifth comes something that is no kill, until each of those was there."""
    rng = random.Random(f"deck {seed}")
    shares = [name for name, (_, share) in breaking.KILLS.items() for _ in range(share)]
    order: list[str] = []
    others: list[str] = []
    while len(order) < kills:
        rng.shuffle(shares)
        order += shares
    found: list[str] = []
    for number, name in enumerate(order[:kills]):
        found.append(name)
        if number % 5 == 4:
            if not others:
                others = list(breaking.OTHERS)
                rng.shuffle(others)
            found.append(others.pop())
    return found


@contextlib.contextmanager
def fresh(site: Site, name: str) -> Iterator[dict[str, str]]:
    """Yield the addresses of a database of this run's own, a copy of the prepared one."""
    site.database = "postgres"
    with site.above() as above:
        above.execute(
            f'CREATE DATABASE "{name}" TEMPLATE "{ground.TEMPLATE}" OWNER halfpoint_owner'
        )
    yield ground.at(site.up.environ, name)
    site.database = "postgres"
    with site.above() as above:
        above.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def attack(
    site: Site, plan: Plan, kept: Path, control: str = "", sql: Sequence[str] = ()
) -> Outcome:
    """Do one run on a database of its own and judge it. ``control`` names what is broken."""
    began = time.monotonic()
    outcome = Outcome(plan.seed, plan.waits)
    history = History(kept)
    history.add("begin", seed=plan.seed, control=control, faults=list(plan.faults))
    name = f"run_{plan.seed}_{control or 'whole'}"
    with fresh(site, name) as urls, receiver.opened(history) as mail:
        environ = {
            **urls,
            "EMAIL_URL": f"smtp://127.0.0.1:{mail.port}",
            **({"HALFPOINT_CONTROL": control} if control else {}),
        }
        site.database = name
        horses = ground.herd(300 + 30 * len(plan.faults))
        with site.above() as above:
            ground.lay(above, horses)
            for statement in sql:
                above.execute(statement)
        with site.housed(environ, name, plan.parts):
            poster = Poster(site.port, horses, history, seed=plan.seed, hands=plan.hands)
            scene = breaking.Scene(site, mail, random.Random(f"faults {plan.seed}"))
            windows = _through(scene, plan, poster, history, outcome)
            _quiet(site, plan, poster, mail)
            if plan.later:
                _later(site)
            with site.above() as above, psycopg.connect(urls["DATABASE_OWNER_URL"]) as owner:
                verdict = judge.judged(above, poster.readings, mail.taken, windows)
                verdict.leaked_rows += judge.leaks(site, owner)
                verdict.stalls = outcome.verdict.stalls
                verdict.ended_by_itself = outcome.verdict.ended_by_itself
                _overlooked(plan, verdict)
    outcome.verdict, outcome.seconds = verdict, round(time.monotonic() - began, 1)
    history.add("end", counts=verdict.counts())
    history.close()
    return outcome


def _overlooked(plan: Plan, verdict: judge.Verdict) -> None:
    """Blame nobody for what this run does not look for."""
    if not plan.later:
        verdict.escalations_missing = 0
    if not plan.sends:
        verdict.notices_undelivered = verdict.untold = 0


def _through(
    scene: breaking.Scene, plan: Plan, poster: Poster, history: History, outcome: Outcome
) -> list[judge.Window]:
    until = time.monotonic() + 60 * plan.minutes
    poster.start()
    time.sleep(plan.calm)
    poster.every = plan.every
    windows = []
    for name in plan.faults:
        if time.monotonic() > until:
            break
        if name == "disk full" and not scene.site.can_fill:
            outcome.left_out.append(name)
            continue
        scene.wait(0.1, 0.8)
        began = history.add("fault", name=name)
        breaking.FAULTS[name](scene)
        history.add("mended", name=name)
        outcome.done.append(name)
        is_well = _recovered(scene, poster, history, outcome)
        over = history.add("recovered" if is_well else "stalled", name=name)
        windows.append(judge.Window(name, began, over))
        outcome.verdict.stalls += not is_well
    return windows


def _recovered(scene: breaking.Scene, poster: Poster, history: History, outcome: Outcome) -> bool:
    """Wait until readings that were sent from now on were answered and, if the run waits for that,
    one of them was told and whatever was written before it has gone."""
    now, until, told = time.time(), time.monotonic() + RECOVERS_S, 0.0
    while time.monotonic() < until:
        _revived(scene, history, outcome)
        fresh = [each for each in poster.acknowledged() if each.sent_at > now]
        if not told and len(fresh) >= READINGS:
            if not outcome.waits:
                return True
            names = {each.horse.name for each in fresh if each.alarms}
            if any(names & each.horses for each in scene.receiver.taken if each.at > now):
                told = time.time()
        if told and not _waiting(scene.site, told):
            return True
        time.sleep(0.1)
    return False


def _waiting(site: Site, before: float) -> int:
    """Return how many messages wait that were written before an instant, or by a clock ahead."""
    with site.above() as above:
        found: Any = above.execute(
            "SELECT count(*) FROM scoring_notice WHERE kind IN ('alert', 'escalation')"
            " AND due_at IS NOT NULL AND (created_at < to_timestamp(%s)"
            " OR created_at > now() + interval '10 minutes')",
            [before],
        ).fetchone()
    return int(found[0])


def _revived(scene: breaking.Scene, history: History, outcome: Outcome) -> None:
    for name in scene.site.revive():
        history.add("ended by itself", name=name)
        outcome.verdict.ended_by_itself += 1


def _quiet(site: Site, plan: Plan, poster: Poster, mail: receiver.Receiver) -> None:
    """Nothing is broken any more: wait until what was due has gone."""
    mail.mood = receiver.TAKES
    poster.stop()
    if not plan.sends:
        return
    _until_none(
        site,
        "SELECT count(*) FROM scoring_notice WHERE due_at < now() + interval '2 minutes'"
        " AND kind = 'alert'",
    )


def _later(site: Site) -> None:
    """Hours on nobody has answered: each alert must take its last rung, and be told. That falls due
    again for as long as nobody answers, so only what is due by then is waited for."""
    site.kill_part("worker")
    site.start_part("worker", HALFPOINT_CLOCK_OFFSET=str(LATER_S))
    _until_none(
        site,
        "SELECT (SELECT count(*) FROM scoring_notice WHERE kind IN ('alert', 'escalation')"
        " AND due_at IS NOT NULL) + (SELECT count(*) FROM scoring_timer WHERE kind = 'escalate'"
        " AND due_at <= now() + make_interval(secs => %s))",
        LATER_S,
    )


def _until_none(site: Site, asked: str, *facts: float) -> None:
    """Wait until nothing is left, for as long as there is less and less of it."""
    least, until = -1, 0.0
    while least < 0 or time.monotonic() < until:
        with site.above() as above:
            found: Any = above.execute(asked, facts).fetchone()
        if not found[0]:
            return
        if least < 0 or found[0] < least:
            least, until = found[0], time.monotonic() + SETTLES_S
        time.sleep(0.5)
