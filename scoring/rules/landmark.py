"""Findings at landmarks: what hand or eye found, from thin to fat. They never set the score."""

from collections.abc import Mapping
from functools import cache

from scoring.rules import scale
from yards.rules import fixture
from yards.rules.fields import Reader

WHOLE = "whole"


@cache
def on(scale_key: str) -> Mapping[str, tuple[str, ...]]:
    """Return the landmarks asked on a scale with the values each may take, thin to fat."""
    data = fixture.load("findings")
    return {
        name: tuple(value["value"] for value in data["landmarks"][name]["values"])
        for name in data["by_scale"][scale_key]
    }


@cache
def by_region(scale_key: str) -> Mapping[str, tuple[str, ...]]:
    """Return landmark names by region on ``five``, and under "whole" on the other scales."""
    if scale_key != scale.FIVE:
        return {WHOLE: tuple(on(scale_key))}
    rows = fixture.load("findings")["landmarks"]
    return {
        region: tuple(name for name in on(scale_key) if rows[name]["region"] == region)
        for region in scale.REGIONS
    }


def read(reader: Reader, scale_key: str) -> dict[str, str]:
    """Return the findings sent, by landmark; notes unknown landmarks and values."""
    inner = reader.inside("findings")
    if inner is None:
        return {}
    sent = {name: inner.choice(name, values) for name, values in on(scale_key).items()}
    return {name: found for name, found in sent.items() if found}
