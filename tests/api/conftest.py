"""What holds for every test of the REST surface."""

import logging
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def every_message_has_words(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail when a refusal had no sentence for its key, or a view failed in a way that is ours."""
    with caplog.at_level(logging.INFO):
        yield
    told = [*caplog.get_records("setup"), *caplog.get_records("call")]
    bad = [each.getMessage() for each in told if each.levelno >= logging.ERROR]
    assert not bad, bad
