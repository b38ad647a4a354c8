"""Who of the product may call an address: one place, whose address only the operator sets.

Mail goes to the server of `EMAIL_URL`, a setting too.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import models

from tests.conftest import ROOT

CALLERS = {
    *("urllib.request", "http.client", "ftplib", "requests", "httpx"),
    *("aiohttp", "urllib3", "websockets"),
}
# What is not the running service: the launcher asks its own children, and the demo's mailbox,
# the bench and the fault runs stand beside it.
BESIDE = ("deploy/launch/", "deploy/mailbox.py", "deploy/start", "deploy/test", "deploy/gunicorn")


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{each.name}" for each in node.names)


def test_only_the_heartbeat_calls_an_address() -> None:
    found = {
        str(path.relative_to(ROOT)): sorted(CALLERS & set(imports(path)))
        for app in ("yards", "scoring", "api", "deploy")
        for path in (ROOT / app).rglob("*.py")
        if not str(path.relative_to(ROOT)).startswith(BESIDE) and CALLERS & set(imports(path))
    }
    assert found == {"deploy/heartbeat.py": ["urllib.request"]}


def test_no_table_keeps_an_address_to_be_called() -> None:
    """The heartbeat's is a setting, so nobody who only has a sign-in can name one."""
    fields = [
        f"{model.__name__}.{field.name}"
        for model in apps.get_models()
        for field in model._meta.get_fields()
        if isinstance(field, models.URLField) or "url" in field.name.split("_")
    ]
    assert fields == []
    assert settings.HEARTBEAT_URL == ""
    settings_text = (ROOT / "deploy" / "settings.py").read_text()
    assert 'HEARTBEAT_URL = env.outward("HEARTBEAT_URL")' in settings_text
