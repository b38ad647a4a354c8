"""How soon it is noticed that beat, the worker or the mail server is silent."""

import subprocess
import time
from pathlib import Path

from deploy.launch.programs import BASE, PYTHON
from tests.faults import receiver, report, run
from tests.faults.history import History
from tests.faults.site import Site
from yards.rules import silence

GOAL_S, PATIENCE_S = 120.0, 240.0


def report_all(site: Site, kept: Path) -> int:
    """Silence each in turn and say after how many seconds it was told; 0 when all were in time."""
    history = History(kept / "silence.jsonl")
    worst = 0.0
    with run.fresh(site, "silence") as urls, receiver.opened(history) as mail:
        environ = {**urls, "EMAIL_URL": f"smtp://127.0.0.1:{mail.port}"}
        with site.housed(environ, "silence"):
            report.say("| silent | noticed after, s | doctor |\n|---|---|---|")
            for part in (silence.BEAT, silence.WORKER, silence.MAIL):
                _until(site, part, told=False)
                if part == silence.MAIL:
                    mail.close()
                else:
                    site.kill_part(part)
                seconds = _until(site, part, told=True)
                worst = max(worst, seconds)
                report.say(f"| {part} | {seconds:.0f} | {_doctor(site)} |")
                history.add("noticed", part=part, seconds=seconds)
                if part == silence.MAIL:
                    mail.open()
                else:
                    site.start_part(part)
    history.close()
    return 0 if worst <= GOAL_S else 1


def _until(site: Site, part: str, *, told: bool) -> float:
    """Wait until the signs of life tell of a part, or of nothing at all; return the seconds."""
    began = time.monotonic()
    while time.monotonic() < began + PATIENCE_S:
        with site.above() as above:
            rows = above.execute(
                "SELECT name, extract(epoch FROM clock_timestamp() - at)::float, said"
                " FROM yards_pulse"
            ).fetchall()
        signs = {name: silence.Pulse(age, said) for name, age, said in rows}
        found = {trouble.what for trouble in silence.troubles(signs)}
        if (part in found) if told else not found:
            return time.monotonic() - began
        time.sleep(0.5)
    raise RuntimeError(f"{part}: {'never told' if told else 'never well'}: {found}")


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
