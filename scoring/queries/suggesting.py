"""What the findings that were chosen suggest, on the form that asks for a score.

Nothing is said of a place where nothing was chosen. The page carries its part of
``fixtures/findings.json``, in its shape and in the reader's language, so that a script says the
same before the form is sent.
"""

import json
from collections.abc import Mapping
from typing import Any

from scoring.queries import fixture_words, suggestion_words, wording
from scoring.rules import chosen, landmark, reading, scale, suggestion
from yards.rules import allowed, errors, fixture

_FINDING = "findings."
# In points: of a wider span the levels would be most of the sheet.
NEAR_MOST = 2
# What is said of donkeys only, and what of all others.
_NEVER = {True: ("suggest_noted_of_stallion",), False: ("suggest_noted",)}
_ALL = {**suggestion_words.WHY, **suggestion_words.CHOSEN}


def said(values: Mapping[str, Any], scale_key: str, sex: str) -> dict[str, str]:
    """Return sentences by place for a form as it was typed; what cannot be suggests nothing.

    ``sex`` is the animal's on record.
    """
    findings = {
        name.removeprefix(_FINDING): value
        for name, value in values.items()
        if name.startswith(_FINDING) and value
    }
    try:
        suggested = suggestion.suggest(
            scale_key,
            findings,
            felt=values.get("manner") != reading.VISUAL,
            pocket=str(values.get("fat_pocket") or scale.NO_POCKET),
            sex=sex,
        )
    except errors.Invalid:
        return {}
    kept = {each["place"]: each for each in suggestion.as_json(suggested).get("places", [])}
    return {place: _told(kept.get(place), place, values, scale_key) for place in _places(scale_key)}


def _places(scale_key: str) -> tuple[str, ...]:
    return scale.REGIONS if scale_key == scale.FIVE else (scale.WHOLE,)


def _told(
    place: Mapping[str, Any] | None, name: str, values: Mapping[str, Any], scale_key: str
) -> str:
    """Return what is suggested of a place, and what counts once its score is chosen."""
    field = f"regions.{name}" if scale_key == scale.FIVE else name
    said = _beside(place, name, str(values.get(field) or ""), values)
    if place is None:
        return " ".join(said)
    reasons = [
        wording.say(key, params)
        for key, params in place["reasons"]
        if not (said and key == "suggest_pocket_once")
    ]
    first = _first(place, scale_key)
    near = [] if said or first else _near(place, scale_key)
    # Who decides comes before what differs from it.
    return " ".join((*(said or first), *reasons, *near))


def _near(place: Mapping[str, Any], scale_key: str) -> list[str]:
    """Return the levels that a suggestion spans, in few words; none of a span that is too wide."""
    low, high = _halves(place["low"]), _halves(place["high"])
    if low is None or high is None or high - low > 2 * NEAR_MOST:
        return []
    # A half alone lies between two levels: of 4½ the one above is told too.
    last = high // 2 if high // 2 > low // 2 else (high + 1) // 2
    return _briefs(scale_key).get(place["place"], [])[low // 2 : last + 1]


def _briefs(scale_key: str) -> dict[str, list[str]]:
    """Return by place what each whole score from 0 up is like, in few words; {} on other scales."""
    found: dict[str, list[str]] = {}
    for level in fixture.load("scales")["scales"][scale_key]["levels"]:
        for place, text in level.get("brief", {}).items():
            at = scale.halves(level["score"]) // 2
            brief = suggestion_words.NEAR.format(score=at, brief=fixture_words.said(text))
            found.setdefault(place, []).append(brief)
    return found


def _beside(
    place: Mapping[str, Any] | None, name: str, felt: str, values: Mapping[str, Any]
) -> list[str]:
    pocket = str(values.get("fat_pocket") or "") if name == scale.BACK else scale.NO_POCKET
    low, high = ((place or {}).get(end) for end in ("low", "high"))
    try:
        told = chosen.beside(_halves(low), _halves(high), scale.halves(felt), pocket)
    except allowed.OutOfRange:
        return []
    return [wording.say(each.key, each.params) for each in told]


def _halves(points: str | None) -> int | None:
    return None if points is None else scale.halves(points)


def _first(place: Mapping[str, Any], scale_key: str) -> tuple[str, ...]:
    """Return that it is the first of several findings, where it is."""
    asked = next(
        names
        for region, names in landmark.by_region(scale_key).items()
        if place["place"] == (scale.WHOLE if region == landmark.WHOLE else region)
    )
    is_first = len(place["findings"]) == 1 and len(asked) > 1 and place["low"] is not None
    return (str(suggestion_words.FIRST),) if is_first else ()


def sentences(place: Mapping[str, Any]) -> list[str]:
    """Return the reasons of one place, as rows keep them, in words."""
    return [wording.say(key, params) for key, params in place["reasons"]]


def table(scale_key: str) -> str:
    """Return what a script needs of the findings of one scale, as JSON of the fixture's shape."""
    data = fixture.load("findings")
    names = list(landmark.on(scale_key))
    told = {
        "least_seen": data["least_seen"],
        "near_most": NEAR_MOST,
        "landmarks": {name: _mark(data["landmarks"][name], scale_key) for name in names},
        "by_scale": {scale_key: names},
        "briefs": _briefs(scale_key),
    }
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def _mark(mark: Mapping[str, Any], scale_key: str) -> dict[str, Any]:
    return {
        "region": mark["region"],
        "not_counted_on": [each for each in mark["not_counted_on"] if each == scale_key],
        "not_counted_of": mark.get("not_counted_of", []),
        "values": [
            {
                "value": row["value"],
                "said": fixture_words.said(row["said"]),
                "sense": row["sense"],
                "goes_with": {
                    key: ends for key, ends in row["goes_with"].items() if key == scale_key
                },
            }
            for row in mark["values"]
        ],
    }


def words(scale_key: str) -> str:
    """Return the sentences of a scale that a script fills in, as JSON by message key."""
    never = _NEVER[scale_key == scale.DONKEY]
    told = {key: str(text) for key, text in _ALL.items() if key not in never}
    told["suggest_first"] = str(suggestion_words.FIRST)
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))
