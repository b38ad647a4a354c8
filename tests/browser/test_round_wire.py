"""Served for good, compressed and under changing names: what scoring costs over the wire."""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext

from tests import cast
from tests.browser import houses, lossy, scoring, steps
from tests.browser.phones import Phone

MOST = 60 * 1024
IMPORT = re.compile(r"""(?:from|import|import\()\s*["'](\.{1,2}/[^"']+)["']""")
TEASEL = cast.ref("Teasel")
PAGE = f"/horses/{TEASEL}/score/"


@pytest.fixture
def served(
    environment: dict[str, str], spring: None, tmp_path: Path, worker_id: str
) -> Iterator[str]:
    """Serve as in production."""
    houses.collect(environment, tmp_path)
    with houses.opened(environment, tmp_path, worker_id, HALFPOINT_TEST="0") as home:
        yield home.url


# What a page's own module misses elsewhere is not asked; that it can be read is.
READS = """(paths) => Promise.all(paths.map((path) =>
    import(path).then(() => false, (error) =>
        error.name === "SyntaxError" && `${path} ${error}`)))"""


def require_imports(static: Path) -> list[str]:
    """Every import of a module leads to a file under the name that it has for good; return all."""
    names = json.loads((static / "staticfiles.json").read_text())["paths"]
    modules = {made for name, made in names.items() if re.fullmatch(r"scoring/.*\.js", name)}
    found = 0
    for made in modules:
        file = static / made
        for path in IMPORT.findall(file.read_text()):
            assert (file.parent / path).resolve().is_file(), f"{made} imports {path}"
            assert str((file.parent / path).resolve().relative_to(static.resolve())) in modules
            found += 1
    assert found > 40
    return [f"/static/{each}" for each in sorted(modules)]


def cold(context: BrowserContext, served: str) -> dict[str, int]:
    """What scoring a horse fetches, to the summary, by address in bytes with their headers."""
    page = context.new_page()
    devtools = context.new_cdp_session(page)
    devtools.send("Network.enable")
    urls: dict[str, str] = {}
    cost: dict[str, int] = {}

    def asked(told: dict[str, Any]) -> None:
        urls[told["requestId"]] = told["request"]["url"]

    def came(told: dict[str, Any]) -> None:
        name = urls[told["requestId"]].removeprefix(served)
        cost[name] = cost.get(name, 0) + int(told["encodedDataLength"])

    devtools.on("Network.requestWillBeSent", asked)
    devtools.on("Network.loadingFinished", came)
    page.goto(PAGE, wait_until="networkidle")
    steps.ready(page)
    scoring.score_all(page)
    scoring.to_summary(page)
    page.wait_for_load_state("networkidle")
    return cost


def test_a_cold_scoring_page_is_small_and_installed_it_asks_for_nothing(
    served: str,
    tmp_path: Path,
    browser: Browser,
    link: lossy.Link,
    phone: Callable[..., Phone],
) -> None:
    modules = require_imports(tmp_path / "static")
    held = phone(url=link.url)
    # A profile that has never been here but is signed in: nothing of it is in the browser's cache.
    context = browser.new_context(
        base_url=served, viewport={"width": 390, "height": 844}, service_workers="block"
    )
    context.add_cookies(held.context.cookies())  # type: ignore[arg-type]
    cost = cold(context, served)
    assert cost[PAGE] > 0
    assert any("/static/yards/fonts/" in name for name in cost)
    told = sorted(cost.items(), key=lambda each: -each[1])
    assert sum(cost.values()) <= MOST, (sum(cost.values()), told)
    assert not any(context.pages[0].evaluate(READS, modules))
    context.close()
    # Once installed, neither a shell nor a page of a horse asks for any file.
    held.page.goto(f"/round/{cast.ref('Top Barn')}/")
    held.page.click("[data-taking] button")
    held.page.wait_for_selector("[data-taking] p:has-text('Downloaded')")
    before = len(link.arrived)
    held.page.goto(f"/round/score/five/#{TEASEL}", wait_until="networkidle")
    steps.ready(held.page)
    held.page.goto(PAGE, wait_until="networkidle")
    steps.ready(held.page)
    after = [path for _, path in link.arrived[before:]]
    assert PAGE in after
    assert [path for path in after if "/static/" in path or path.startswith("/round/score/")] == []
