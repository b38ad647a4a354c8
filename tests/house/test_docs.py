"""The documents say what is so: the README's lines are run, and every setting is named."""

import json
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from email import message_from_bytes, policy
from pathlib import Path
from typing import Any

import pytest

from deploy.launch import house, trouble
from tests import mailbox
from tests.conftest import ROOT, environment_of

README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
TOP = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "uv.lock", "manage.py"),
    *("yards", "scoring", "api", "tests", "fixtures", "deploy"),
}
READ = re.compile(
    r"(?:env\.(?:text|flag|whole|listed|address|outward|database|mail|redis)"
    r"|os\.environ(?:\.get)?|_database|_user)[\[(]\s*\"([A-Z][A-Z_]+)\""
)


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


@dataclass
class Running:
    """Where the README's reader stands, and the mail that came."""

    folder: Path
    mail: Path

    def messages(self) -> list[Any]:
        return [
            message_from_bytes(path.read_bytes(), policy=policy.default)
            for path in sorted(self.mail.glob("*.eml"))
        ]


@pytest.fixture
def running(demo: str, demo_keys: Path, tmp_path: Path, worker_id: str) -> Iterator[Running]:
    """A house with the demo, as ``deploy/start`` leaves it in ``.halfpoint``."""
    data = tmp_path / ".halfpoint"
    for part in ("run", "log", "mail"):
        (data / part).mkdir(parents=True)
    ready = data / "run" / "mailbox.port"
    keeper = subprocess.Popen(
        [sys.executable, "-m", "deploy.mailbox", f"--dir={data / 'mail'}", f"--ready={ready}"],
        cwd=ROOT,
    )
    try:
        end = time.monotonic() + 30
        while not ready.exists():
            assert time.monotonic() < end
            time.sleep(0.05)
        environ = environment_of(demo)
        number = 1 if worker_id == "master" else 1 + int(worker_id.removeprefix("gw"))
        joint = "&" if "?" in environ["REDIS_URL"] else "?"
        environ |= {
            "REDIS_URL": f"{environ['REDIS_URL']}{joint}db={number}",
            "EMAIL_URL": f"smtp://127.0.0.1:{ready.read_text().strip()}",
            "HALFPOINT_DATA": str(data),
        }
        environ.pop("SITE_URL", None)
        with house.serving(environ, data) as served:
            keys = json.loads((demo_keys / "demo.json").read_text())
            (data / "demo.json").write_text(json.dumps({**keys, "url": served.url}))
            served.wait()
            yield Running(tmp_path, data / "mail")
    finally:
        keeper.terminate()
        keeper.wait(10)


@pytest.mark.long
def test_the_lines_of_the_readme_do_what_it_says(running: Running) -> None:
    assert running.messages() == [], "the demo itself sends no mail"
    # Each block says where it ends, so that its own output can be told.
    script = "\nprintf '\\f'\n".join(blocks("sh"))
    ran = subprocess.run(
        ["sh", "-eu", "-c", script],
        cwd=running.folder,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    nothing, reading, mail, refused, auditor, other = ran.stdout.split("\f")
    assert nothing.strip() == ""
    for line in (
        'overall: "4.17"',
        'overall_nearest_half: "4.0"',
        'fattest_regions: ["back_and_ribs"]',
        'place: "above"',
    ):
        assert line in reading.splitlines()
    assert '"rule": "fat_in_spring"' in reading
    assert "isolde@example.org" in mail
    for said in ("Teasel", "4.17", "vet", "01632 960118", "01632 960144", "not a diagnosis"):
        assert said in mail
    assert "status: 422" in refused
    assert '"field": "regions.back_and_ribs"' in refused
    assert "Give whole or half points" in refused
    assert re.match(r"\s*[1-9][0-9]* readings", auditor)
    assert "status: 403" in auditor
    assert "status: 404" in other
    [letter] = running.messages()
    assert letter["To"] is not None
    assert "Teasel" in mailbox.text_of(letter)


def test_the_readme_opens_with_the_job_then_the_two_commands_then_the_journey() -> None:
    commands, journey = README.index("deploy/start "), README.index("```sh")
    assert README.startswith("# Halfpoint\n\nHalfpoint is for people")
    assert README.index("deploy/test") > commands
    assert commands < journey
    assert "It is not a diagnosis" in README
    assert len(README.splitlines()) < 200


def test_every_setting_is_named_among_the_settings() -> None:
    listed = DEVELOPERS[DEVELOPERS.index("## Settings") : DEVELOPERS.index("## The two commands")]
    files = [*ROOT.glob("deploy/**/*.py"), ROOT / "manage.py"]
    read = {name for path in files for name in READ.findall(path.read_text())}
    assert {"SECRET_KEY", "DATABASE_URL", "REDIS_URL", "WEB_CONCURRENCY", "CHROMIUM"} <= read
    ours = read - {"UV_PROJECT_ENVIRONMENT"}  # handed to uv, never asked of anybody
    assert sorted(name for name in ours if f"`{name}`" not in listed) == []
    # And nothing is listed that no code reads.
    named = set(re.findall(r"^\| `([A-Z_]+)`", listed, re.MULTILINE))
    assert named - ours == set()


def test_every_exit_code_is_explained_and_none_that_is_not() -> None:
    part = DEVELOPERS[DEVELOPERS.index("## The two commands") :]
    told = {int(code) for code in re.findall(r"^\| ([0-9]+) \|", part, re.MULTILINE)}
    assert {int(code) for code in trouble.Exit} == told


def test_every_command_of_ours_is_named_and_none_that_is_not() -> None:
    ours = {
        path.stem
        for path in ROOT.glob("*/management/commands/*.py")
        if not path.stem.startswith("_") and ".venv" not in path.parts
    }
    assert {"check_isolation", "make_organisation", "rebuild_standing"} <= ours
    named = set(re.findall(r"`(?:[A-Z_]+=\w+ )?manage\.py (\w+)", DEVELOPERS))
    djangos = {"migrate", "makemigrations", "collectstatic", "shell"}
    assert named - djangos == ours
    scripts = {path.name for path in (ROOT / "deploy").iterdir() if is_script(path)}
    assert scripts == set(re.findall(r"`deploy/(\w+)[` ]", DEVELOPERS)) - {"launch"}


def is_script(path: Path) -> bool:
    return path.is_file() and path.read_bytes().startswith(b"#!")


def test_the_map_shows_what_is_there_and_nothing_else() -> None:
    drawn = re.search(r"^```\n(yards/.*?)^```$", DEVELOPERS, re.DOTALL | re.MULTILINE)
    assert drawn is not None
    rows = dict(re.findall(r"^(\w+)/ +(.+)$", drawn[1], re.MULTILINE))
    assert set(rows) == {name for name in TOP if (ROOT / name).is_dir()}
    with_tests = {path.parent.name for path in ROOT.glob("tests/*/test_*.py")}
    assert with_tests <= set(re.findall(r"\w+", rows["tests"]))


def test_the_kinds_of_folder_in_an_app_are_those_of_the_table() -> None:
    part = DEVELOPERS[DEVELOPERS.index("| folder | holds |") : DEVELOPERS.index("A reading's way:")]
    rows = re.findall(r"^\| ((?:`\w+`,? ?)+) \|", part, re.MULTILINE)
    told = {name for row in rows for name in re.findall(r"\w+", row)}
    there = {
        path.name.removesuffix(".py")
        for app in ("yards", "scoring")
        for path in (ROOT / app).iterdir()
        if path.suffix == ".py" or (path / "__init__.py").exists()
    }
    # What Django itself asks for, and three modules too small to be folders.
    assert there - {"__init__", "apps", "migrations", "audit", "clock"} == told


def test_the_top_level_holds_exactly_what_it_should() -> None:
    kept = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    paths = kept.stdout.splitlines() if kept.returncode == 0 else []
    found = {path.split("/")[0] for path in paths} or {each.name for each in ROOT.iterdir()}
    assert {name for name in found if not name.startswith(".")} == TOP


def test_the_files_that_the_documents_name_are_there() -> None:
    named = set(re.findall(r"`((?:yards|scoring|api|deploy|tests|fixtures)/[\w./]+)`", DEVELOPERS))
    assert len(named) > 20
    assert sorted(name for name in named if not (ROOT / name).exists()) == []
    assert not re.search(r"(?<![\w.])/(?:home|root|work|Users)/", README + DEVELOPERS)


def test_the_scripts_and_shared_cases_that_the_guide_names_are_those_that_there_are() -> None:
    part = DEVELOPERS[DEVELOPERS.index("## The round") : DEVELOPERS.index("## The board")]
    scripts = set(re.findall(r"`(\w+\.js)`", part))
    folder = ROOT / "scoring" / "static" / "scoring" / "round"
    assert len(scripts) > 5
    assert sorted(name for name in scripts if not (folder / name).exists()) == []
    told = set(re.findall(r"\b(\w+_cases)\b", part)) - {"test_phone_cases"}
    for held in ("rules/test_phone_cases.py", "browser/test_steps_rules.py"):
        named = set(re.findall(r"\"(\w+_cases)\"", (ROOT / "tests" / held).read_text()))
        assert named == told, held
