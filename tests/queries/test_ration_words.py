"""Energy, forage and rations are said in whole sentences, and none names an amount of feed."""

import pytest

from scoring.queries import ration_words, wording
from scoring.rules import energy, forage, keys, ration_guard, ration_keys, weight_change

PARAMS = {"percent": "1.20", "least": "1.25", "low": "15", "high": "49"}


def test_the_lists_are_named_one_to_one() -> None:
    assert set(ration_words.ALL) == set(keys.RATIONS)
    for name in ("ALWAYS", "NEEDS", "FORAGE", "CHANGES", "PACES", "GUARDS", "DOUBTS", "REFUSALS"):
        assert list(getattr(ration_words, name)) == list(getattr(ration_keys, name)), name


def test_what_the_rules_emit_is_on_the_list() -> None:
    emitted = {
        *energy.CAUTIONS,
        *forage.CAUTIONS,
        *weight_change.CAUTIONS,
        *weight_change.PACES,
        *ration_guard.CAUTIONS,
        *ration_guard.REASONS,
    }
    assert emitted == set(keys.RATIONS) - set(ration_keys.REFUSALS)


@pytest.mark.parametrize("key", keys.RATIONS)
def test_each_is_a_whole_sentence_or_more(key: str) -> None:
    text = wording.say(key, {name: PARAMS[name] for name in keys.RATIONS[key]})
    assert text.endswith(".")
    assert text[0].isupper()
    assert "_" not in text
    assert "{" not in text


@pytest.mark.parametrize("key", ration_keys.GUARDS)
def test_who_gets_none_is_sent_to_the_vet_and_told_no_amount(key: str) -> None:
    text = wording.say(key)
    assert "vet" in text
    assert not any(unit in text for unit in (" kg", " lb", "%", "Mcal", "scoop"))


def test_an_emaciated_animal_is_told_the_vet_before_feed() -> None:
    text = wording.say("ration_emaciated")
    assert "Phone the vet now, before feeding." in text
    assert "never from here" in text


def test_what_always_stands_beside_says_estimate_light_horses_current_weight_and_vet() -> None:
    told = " ".join(wording.say(key) for key in ration_keys.ALWAYS)
    assert all(word in told for word in ("estimate", "light horses", "has now", "The vet decides"))
