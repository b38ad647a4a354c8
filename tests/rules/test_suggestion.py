"""What findings suggest: the shared cases, the scales' own levels, and laws that always hold."""

import itertools
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import keys, landmark, scale, suggestion
from tests.outside import COMMON_PRACTICE, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import allowed, errors, fixture

CASES = fixture.load("suggestion_cases")
FINDINGS = fixture.load("findings")
LEVELS = fixture.load("scales")["scales"]
NAMES = ("place", "low", "high", "reasons")


def suggested(case: dict[str, Any]) -> list[dict[str, Any]]:
    found = suggestion.suggest(
        case["scale"],
        case["findings"],
        felt=case["manner"] == "palpated",
        pocket=case["fat_pocket"],
        sex=case.get("sex", ""),
    )
    places = suggestion.as_json(found).get("places", [])
    return [{name: each[name] for name in NAMES} for each in places]


@pytest.mark.parametrize("case", CASES["cases"], ids=[each["name"] for each in CASES["cases"]])
def test_a_shared_case_is_suggested_as_it_says(case: dict[str, Any]) -> None:
    assert suggested(case) == case["places"]


def test_the_shared_cases_reach_every_reason_and_are_of_this_table() -> None:
    reached = {
        key for each in CASES["cases"] for place in each["places"] for key, _ in place["reasons"]
    }
    assert reached == set(keys.SUGGESTION)
    assert CASES["findings_version"] == suggestion.version()


# What the words of each level name, as findings: the neck, back and ribs, and hindquarters of the
# chart on 0-5, the whole animal on the others.
CHART_FIVE = [
    ("0.0", "hollow stands_out ridge stand_out hollow stand_out pit"),
    ("1.0", "hollow stands_out ridge stand_out hollow stand_out pit"),
    ("2.0", "none_or_hollow stops_the_hand curved light_touch flat light_touch slight_hollow"),
    ("3.0", "none_or_hollow stops_the_hand curved light_touch rounded light_touch level"),
    ("4.0", "slight filling_in groove firm_pressure groove firm_pressure soft_fat"),
    ("5.0", "hard_or_leaning not_found groove not_found groove not_found bulging_fat"),
]
CHART_NINE = [
    ("1.0", {"spine": "ridge", "ribs": "stand_out", "hip_bones": "stand_out", "tailhead": "pit"}),
    ("2.0", {"spine": "ridge", "ribs": "stand_out", "hip_bones": "stand_out"}),
    ("3.0", {"spine": "ridge", "ribs": "stand_out", "hip_bones": "stand_out"}),
    ("4.0", {"spine": "ridge", "ribs": "stand_out", "hip_bones": "light_touch"}),
    ("5.0", {"spine": "nearly_flat", "ribs": "light_touch", "tailhead": "soft_fat"}),
    ("6.0", {"spine": "groove", "ribs": "light_touch", "tailhead": "soft_fat", "crest": "slight"}),
    ("7.0", {"spine": "groove", "ribs": "firm_pressure", "tailhead": "soft_fat"}),
    ("8.0", {"spine": "groove", "ribs": "not_found", "crest": "full_soft"}),
    ("9.0", {"spine": "groove", "ribs": "not_found", "tailhead": "bulging_fat"}),
]
CHART_DONKEY = [
    ("1.0", {"spine": "ridge", "ribs": "stand_out", "hip_bones": "stand_out", "tailhead": "pit"}),
    ("2.0", {"spine": "curved", "ribs": "light_touch", "hip_bones": "light_touch"}),
    ("3.0", {"spine": "curved", "ribs": "light_touch", "tailhead": "level"}),
    ("4.0", {"spine": "groove", "ribs": "firm_pressure", "tailhead": "soft_fat"}),
    ("5.0", {"spine": "groove", "ribs": "not_found", "hip_bones": "not_found"}),
]


def holds(key: str, findings: dict[str, str], level: str) -> None:
    """Every place suggests a span that holds the level, and no two of its findings disagree."""
    found = suggestion.suggest(key, findings)
    assert found
    for each in found:
        assert each.low is not None
        assert each.high is not None
        assert each.low <= scale.halves(level) <= each.high, each
        assert {reason.key for reason in each.reasons} <= {"suggest_one", "suggest_range"}


@outside(
    "what the chart's levels on 0-5 name suggests that level, region by region",
    source="Carroll and Huntington 1988, EVJ 20:41-45, after the chart in the Scottish Government "
    "code 2009, appendix C",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("level", "named"), CHART_FIVE)
def test_the_levels_of_five_suggest_themselves(level: str, named: str) -> None:
    holds("five", dict(zip(landmark.on("five"), named.split(), strict=True)), level)


@outside(
    "what the levels on 1-9 name suggests that level",
    source="Henneke et al. 1983, EVJ 15:371-372",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("level", "named"), CHART_NINE)
def test_the_levels_of_nine_suggest_themselves(level: str, named: dict[str, str]) -> None:
    holds("nine", named, level)


@outside(
    "what the donkeys' levels name suggests that level",
    source="Scottish Government code 2009, appendix C, from level 1's first words on unread",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(("level", "named"), CHART_DONKEY)
def test_the_levels_of_donkeys_suggest_themselves(level: str, named: dict[str, str]) -> None:
    holds("donkey", named, level)


@outside(
    "pads of fat and a hard crest say nothing of a donkey's cover: they can stay after weight is "
    "lost",
    source="people who keep donkeys",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("pads", ["soft", "hard"])
def test_pads_never_move_a_donkey_s_suggestion(pads: str) -> None:
    plain = {"ribs": "light_touch", "hip_bones": "light_touch"}
    [bare] = suggestion.suggest("donkey", plain)
    [padded] = suggestion.suggest("donkey", {**plain, "fat_pads": pads, "crest": "hard_or_leaning"})
    assert (padded.low, padded.high) == (bare.low, bare.high)


@outside(
    "no crest at 3, stallions excepted: a stallion's crest moves no suggestion",
    source="Carroll and Huntington 1988, EVJ 20:41-45, after the chart in the Scottish Government "
    "code 2009, appendix C",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize("crest", landmark.on("five")["crest"])
def test_a_crest_never_moves_a_stallion_s_suggestion(crest: str) -> None:
    for key in ("five", "nine"):
        plain = {"shoulder": "stops_the_hand"}
        [bare] = suggestion.suggest(key, plain, sex="stallion")
        [crested] = suggestion.suggest(key, {**plain, "crest": crest}, sex="stallion")
        assert (crested.low, crested.high) == (bare.low, bare.high)
        [mare] = suggestion.suggest(key, {"crest": crest}, sex="mare")
        assert mare.reasons[0].key != "suggest_noted_of_stallion"


def test_a_sex_is_one_of_the_list() -> None:
    with pytest.raises(allowed.OutOfRange, match="sex: one of mare, gelding, stallion, unknown"):
        suggestion.suggest("five", {"crest": "slight"}, sex="male")


@pytest.mark.parametrize("pocket", scale.POCKETS)
def test_the_fat_pocket_is_counted_once_and_not_here(pocket: str) -> None:
    found = {"ribs": "firm_pressure", "shoulder": "filling_in", "spine": "groove"}
    plain = suggestion.suggest("five", found)
    told = suggestion.suggest("five", found, pocket=pocket)
    assert [(each.low, each.high) for each in told] == [(each.low, each.high) for each in plain]


@st.composite
def findings(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    """A scale and values at some of its landmarks."""
    key = draw(st.sampled_from(scale.SCALES))
    asked = landmark.on(key)
    names = draw(st.lists(st.sampled_from(sorted(asked)), unique=True))
    return key, {name: draw(st.sampled_from(asked[name])) for name in names}


@given(findings(), st.booleans(), st.sampled_from(scale.POCKETS))
def test_a_suggestion_lies_on_its_scale_and_can_be_written_as_json(
    found: tuple[str, dict[str, str]], felt: bool, pocket: str
) -> None:
    key, values = found
    own = scale.of(key)
    told = suggestion.suggest(key, values, felt=felt, pocket=pocket)
    for each in told:
        assert (each.low is None) == (each.high is None)
        if each.low is not None and each.high is not None:
            assert own.low <= each.low <= each.high <= own.high
        assert each.reasons
        for reason in each.reasons:
            assert set(reason.params) == set(keys.SUGGESTION[reason.key])
    kept = suggestion.as_json(told)
    assert json.loads(json.dumps(kept)) == kept
    # Nothing is said of a place where nothing was found, and of every other something is.
    marks = FINDINGS["landmarks"]
    places = {marks[name]["region"] if key == scale.FIVE else scale.WHOLE for name in values}
    assert {each.place for each in told} == places


@given(findings(), st.booleans(), st.randoms(use_true_random=False))
def test_the_order_of_findings_is_nothing(
    found: tuple[str, dict[str, str]], felt: bool, random: Any
) -> None:
    key, values = found
    shuffled = list(values.items())
    random.shuffle(shuffled)
    assert suggestion.suggest(key, dict(shuffled), felt=felt) == suggestion.suggest(
        key, values, felt=felt
    )


@given(findings(), st.data())
def test_a_fatter_finding_never_lowers_either_end(
    found: tuple[str, dict[str, str]], data: st.DataObject
) -> None:
    key, values = found
    if not values:
        return
    name = data.draw(st.sampled_from(sorted(values)))
    order = landmark.on(key)[name]
    fatter = data.draw(st.sampled_from(order[order.index(values[name]) :]))
    before = {each.place: each for each in suggestion.suggest(key, values)}
    after = {each.place: each for each in suggestion.suggest(key, {**values, name: fatter})}
    assert before.keys() == after.keys()
    for place, thin in before.items():
        fat = after[place]
        if thin.low is None or thin.high is None or fat.low is None or fat.high is None:
            continue  # one thing seen is too little, on whichever side of the change
        assert thin.low <= fat.low
        assert thin.high <= fat.high


def test_a_landmark_s_answers_are_told_apart_in_a_few_words() -> None:
    """Who never felt a horse tells the answers apart: short, none that begins as another is."""
    for name, mark in FINDINGS["landmarks"].items():
        texts = [row["text"] for row in mark["values"]]
        for one, other in itertools.permutations(texts, 2):
            assert not other.startswith(one), (name, one, other)
        assert all(len(text.split()) <= 6 for text in texts), name


def test_every_landmark_rises_from_thin_to_fat_and_leaves_no_gap() -> None:
    """Each finding's span begins and ends no lower than the last one's, and meets it."""
    for key in scale.SCALES:
        own = scale.of(key)
        for name in landmark.on(key):
            mark = FINDINGS["landmarks"][name]
            if key in mark["not_counted_on"]:
                continue
            spans = [
                [scale.halves(each) for each in row["goes_with"][key]] for row in mark["values"]
            ]
            assert (spans[0][0], spans[-1][1]) == (own.low, own.high), (key, name)
            for (low, high), (next_low, next_high) in itertools.pairwise(spans):
                assert low <= next_low <= high + 1, (key, name)
                assert high <= next_high, (key, name)
            assert mark["confidence"][key] in FINDINGS["confidence"]


@pytest.mark.parametrize(
    ("key", "values", "field"),
    [
        ("five", {"hooves": "cracked"}, "findings.hooves"),
        ("five", {"ribs": "purple"}, "findings.ribs"),
        ("nine", {"fat_pads": "soft"}, "findings.fat_pads"),
    ],
)
def test_what_the_scale_does_not_have_is_refused_by_name(
    key: str, values: dict[str, str], field: str
) -> None:
    with pytest.raises(errors.Invalid) as caught:
        suggestion.suggest(key, values)
    assert [each.field for each in caught.value.errors] == [field]


def test_every_level_is_described_at_every_landmark_of_its_scale() -> None:
    """The descriptor table is complete: the same landmarks at each level, none of them blank."""
    for key in (*scale.SCALES, scale.CREST):
        rows = LEVELS[key]["levels"]
        own = scale.of(key)
        assert [scale.halves(each["score"]) for each in rows] == list(
            range(own.low, own.high + 1, 2)
        )
        marks = [
            [(place, name) for place, texts in placed(each).items() for name in texts]
            for each in rows
        ]
        assert all(each == marks[0] for each in marks), key
        assert all(
            text.strip()
            for each in rows
            for texts in placed(each).values()
            for text in texts.values()
        )
    asked = set(landmark.on("five"))
    told = {name for texts in placed(LEVELS["five"]["levels"][0]).values() for name in texts}
    assert told == asked


def placed(level: dict[str, Any]) -> dict[str, dict[str, str]]:
    """A level's texts by landmark, by region or for the whole animal."""
    return level.get("regions") or {"whole": level["whole"]}
