"""The shells open without a network, whole, and nothing about a horse is kept beside them."""

from collections.abc import Callable

from playwright.sync_api import expect

from scoring.pages import shells
from tests import cast
from tests.browser.phones import Phone

TEASEL = cast.ref("Teasel")
KEPT = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) found.push(url.slice(location.origin.length));
  }
  return found;
}"""
PATHS = [shell.path for shell in (*shells.ALL, *shells.HELP)]
PAGES = [shell.path for shell in shells.ALL if shell.name != shells.FACING]


def test_every_shell_opens_whole_without_a_network(phone: Callable[..., Phone]) -> None:
    held = phone()
    held.page.goto(f"/horses/{TEASEL}/")
    held.page.evaluate("fetch('/api/v1/me/').then((it) => it.json())")
    lost: list[str] = []
    held.page.on("requestfailed", lambda told: lost.append(f"{told.failure} {told.url}"))
    held.offline()
    for path in PAGES:
        held.page.goto(f"{path}#{TEASEL}", wait_until="networkidle")
        expect(held.page.locator("h1")).not_to_be_empty()
    assert [each for each in lost if "/static/" in each] == []
    found = held.page.evaluate(KEPT)
    assert set(PATHS) <= set(found)
    others = [each for each in found if each not in PATHS]
    assert [each for each in others if not each.startswith("/static/")] == []


def test_help_opens_where_it_is_needed_without_a_network(phone: Callable[..., Phone]) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    held.page.goto(f"/round/score/five/#{TEASEL}&step=neck_and_shoulder")
    held.page.locator("[data-step=neck_and_shoulder] .feels").click()
    with held.page.context.expect_page() as opened:
        held.page.get_by_role("link", name="The whole sheet, drawn, beside this page").first.click()
    beside = opened.value
    expect(beside.locator("h1")).to_have_text("What each score feels like, 0 to 5")
    expect(beside.locator(".marks tbody tr")).to_have_count(11)
    # Whom to ring: the numbers of the rounds that this phone took along.
    beside.goto("/help/who/#numbers")
    expect(beside.locator("[data-numbers] h3")).to_have_text("Top Barn")
    expect(beside.locator("[data-numbers] a").first).to_have_attribute("href", "tel:01632960118")
    beside.close()
    expect(held.page.locator("h1")).to_have_text("Teasel")


def test_a_round_that_was_taken_leads_to_the_shells(phone: Callable[..., Phone]) -> None:
    held = phone()
    assert str(TEASEL) in held.take("Top Barn")
    held.offline()
    # A horse's own scoring page becomes its shell.
    held.page.goto(f"/horses/{TEASEL}/score/")
    held.page.wait_for_url(f"**/round/score/five/#{TEASEL}*")
    expect(held.page.locator("h1")).to_have_text("Teasel")
    held.offline(False)
    held.take("Sallow Field")
    links = held.page.locator("[data-horse] a.btn")
    assert sorted(each.split("/")[3] for each in links.evaluate_all(HREFS)) == ["donkey", "five"]
    held.page.reload()
    expect(held.page.locator("[data-taking] p")).to_contain_text("Downloaded")
    # What may be shown only after the hand lies in a store of its own.
    rounds = held.do("({ store }) => store.all('rounds').then(JSON.stringify)")
    assert "band" not in rounds
    assert '"overall":' not in rounds
    after = held.do("({ store }) => store.all('after')")
    told = {each["id"]: each["band"] for each in after}
    assert {str(cast.ref("Tansy")), str(cast.ref("Wagtail")), str(TEASEL)} <= set(told)
    assert all(told.values())


HREFS = "all => all.map((each) => each.getAttribute('href'))"


def test_an_unknown_animal_is_taken_in_without_a_network(phone: Callable[..., Phone]) -> None:
    held = phone()
    held.take("Top Barn")
    held.offline()
    held.page.goto("/round/unknown/")
    expect(held.page.locator("[data-dials] a").first).to_have_attribute("href", "tel:01632960118")
    held.page.fill("[name=name]", "Grey by the gate")
    held.page.locator("label:has([name=species][value=donkey])").click()
    held.page.locator("label:has([name=danger_signs])").first.click()
    held.page.fill("[name=note]", "Star, two white socks")
    held.page.get_by_role("button", name="Save, then score by hand").click()
    held.page.wait_for_url("**/round/score/donkey/#*")
    expect(held.page.locator("h1")).to_have_text("Grey by the gate")
    held.wait(saved=2)
    made = held.page.url.partition("#")[2][:36]
    held.score(made, scale="donkey", regions=None, overall="2.5")
    held.offline(False)
    held.do("({ send }) => send.flushNow()")
    held.wait(sent=3, saved=0, needs_you=0)
    order = held.do(
        "({ queue }) => queue.all().then((all) => all.sort((a, b) => "
        "a.sent_at < b.sent_at ? -1 : 1).map((it) => it.kind))"
    )
    assert order == ["horse", "concern", "assessment"]
