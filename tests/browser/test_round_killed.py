"""A server that dies with a batch in its hands, while two phones send: nothing lost, or twice."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from deploy.launch.house import House
from tests import cast
from tests.browser import houses, lossy
from tests.browser.phones import Phone, ids, kept
from tests.conftest import _owner

BATCH = "/api/v1/assessments/batch/"
HORSES = [str(cast.ref(each)) for each in ("Teasel", "Sorrel Lad", "Tansy")]
FLUSH = "({ send }) => send.flushNow()"


@pytest.fixture
def own(
    environment: dict[str, str], spring: None, tmp_path: Path, worker_id: str
) -> Iterator[House]:
    """The house, whose web process can be killed."""
    with houses.opened(environment, tmp_path, worker_id) as made:
        yield made


@pytest.fixture
def served(own: House) -> str:
    """Where it is reached."""
    return own.url


def test_a_server_killed_with_batches_in_its_hands(
    own: House, database: str, link: lossy.Link, phone: Callable[..., Phone]
) -> None:
    phones = [phone("maud", url=link.url), phone("tobias", url=link.url)]
    entered = []
    for held in phones:
        held.page.goto("/round/sending/")
        held.offline()
        entered += held.score(*(HORSES[at % 3] for at in range(12)))
    with _owner(database) as owner:
        # Both batches arrive, and neither can be finished.
        owner.execute("BEGIN")
        owner.execute("LOCK TABLE scoring_assessment IN ACCESS EXCLUSIVE MODE")
        for held in phones:
            held.offline(False)
            held.wait(sending=12)
        for _ in range(100):
            if link.posts(BATCH) == 2:
                break
            phones[0].page.wait_for_timeout(50)
        link.lose = lambda method, path: lossy.REQUEST
        own.children["web"].kill()
        for held in phones:
            held.wait(saved=12, sending=0, sent=0)
        owner.execute("ROLLBACK")
    own.start("web")
    own.wait()
    assert kept(own.url) == []
    link.lose = lambda method, path: ""
    for held in phones:
        held.do(FLUSH)
        held.wait(saved=0, sent=12)
    assert ids(kept(own.url)) == sorted(entered)
    assert {each["assessor"]["name"] for each in kept(own.url)} == {"Maud Pell", "Tobias Wren"}
