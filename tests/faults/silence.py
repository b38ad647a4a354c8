"""How soon silence is told: by a page that somebody looks at, and by the doctor.

One part after the other falls silent: beat, the worker, the mail server, the broker, the database.
"""

import subprocess
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from deploy.launch.programs import BASE, PYTHON
from tests.faults import receiver, report, run
from tests.faults.history import History
from tests.faults.onlooker import Onlooker
from tests.faults.site import Site
from yards.rules import silence

GOAL_S, PATIENCE_S = 120.0, 240.0
BROKER, DATABASE = "broker", "database"
# What the signs of life must tell of. Whoever cannot reach the broker, beat or worker, is silent;
# without the database no sign is read at all, and no page is to be had.
TOLD_AS: Mapping[str, frozenset[str]] = {
    silence.BEAT: frozenset({silence.BEAT}),
    silence.WORKER: frozenset({silence.WORKER}),
    silence.MAIL: frozenset({silence.MAIL}),
    BROKER: frozenset({silence.BEAT, silence.WORKER}),
    DATABASE: frozenset(),
}


def report_all(site: Site, kept: Path) -> int:
    """Silence each in turn and say after how many seconds it was told; 0 when all were in time."""
    history = History(kept / "silence.jsonl")
    worst = 0.0
    with run.fresh(site, "silence") as urls, receiver.opened(history) as mail:
        environ = {**urls, "EMAIL_URL": f"smtp://127.0.0.1:{mail.port}"}
        with site.housed(environ, "silence"):
            site.database = "silence"
            looks = Onlooker(site.port)
            report.say("| silent | told after, s | doctor |\n|---|---|---|")
            for part, (silenced, mended) in _ways(site, mail).items():
                _until(site, looks, part, told=False)
                silenced()
                seconds = _until(site, looks, part, told=True)
                worst = max(worst, seconds)
                report.say(f"| {part} | {seconds:.0f} | {_doctor(site)} |")
                history.add("told", part=part, seconds=seconds)
                mended()
    history.close()
    return 0 if worst <= GOAL_S else 1


Way = tuple[Callable[[], None], Callable[[], None]]


def _ways(site: Site, mail: receiver.Receiver) -> Mapping[str, Way]:
    """Return how each part is silenced, and how it is brought back."""
    return {
        silence.BEAT: (lambda: site.kill_part("beat"), lambda: site.start_part("beat")),
        silence.WORKER: (lambda: site.kill_part("worker"), lambda: site.start_part("worker")),
        silence.MAIL: (mail.close, mail.open),
        BROKER: (site.kill_broker, site.start_broker),
        DATABASE: (lambda: site.kill_postgres(whole=True), site.start_postgres),
    }


def _until(site: Site, looks: Onlooker, part: str, *, told: bool) -> float:
    """Wait until a page and the signs of life tell of a part, or of nothing; return the seconds."""
    began = time.monotonic()
    while time.monotonic() < began + PATIENCE_S:
        said = looks.at_a_page()
        found = _signs(site) if told is False or part != DATABASE else frozenset()
        is_told = bool(said) and (bool(found & TOLD_AS[part]) or part == DATABASE)
        if is_told if told else not (said or found):
            return time.monotonic() - began
        time.sleep(0.5)
    raise RuntimeError(f"{part}: {'never told' if told else 'never well'}: {said} {found}")


def _signs(site: Site) -> frozenset[str]:
    with site.above() as above:
        rows = above.execute(
            "SELECT name, extract(epoch FROM clock_timestamp() - at)::float, said FROM yards_pulse"
        ).fetchall()
    signs = {name: silence.Pulse(age, said) for name, age, said in rows}
    return frozenset(trouble.what for trouble in silence.troubles(signs))


def _doctor(site: Site) -> str:
    ran = subprocess.run(
        [str(PYTHON), "manage.py", "doctor"],
        cwd=BASE,
        env=site.home.environ,
        capture_output=True,
        text=True,
        check=False,
    )
    return f"ends with {ran.returncode}: {' '.join(ran.stdout.split())}"
