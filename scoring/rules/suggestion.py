"""What findings at landmarks suggest, a region at a time: a span of half points and its reasons.

Each finding goes with a span of scores (``fixtures/findings.json``, each span with its source and
how sure it is; read off the levels of ``scales.json``). Where the spans meet, what they share is
suggested. Where they do not, the suggestion runs from where the thinnest finding leaves off to
where the fattest begins: half a point apart they lie side by side, further apart they disagree, and
it says so. So a fatter finding never lowers either end, and order is nothing.

The assessor decides: nothing here sets a score. One thing that was only seen suggests nothing; what
takes a hand is not counted when the animal was only seen; on donkeys the crest and pads of fat are
noted and not counted, since they can stay when weight is lost (from memory, unchecked). A
stallion's crest is noted and not counted either: the chart on 0-5 excepts stallions from "no crest"
(read); that the same goes for 1-9 is our reading. The fat pocket behind the shoulder is no part of
it: it is counted once, after the score, in ``scale.Felt.with_pocket``.

How spans are joined is our own design, no published rule.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from scoring.rules import landmark, scale
from scoring.rules.finding import Message
from yards.rules import allowed, fixture, horse
from yards.rules.fields import Reader

HAND, EYE, EITHER = "hand", "eye", "either"
# As far apart as the spans of neighbours: one ends at 3.5, the next begins at 4.
SIDE_BY_SIDE = 1


@dataclass(frozen=True, slots=True)
class Found:
    """One finding with the scores it goes with, in half points; None where it is not counted."""

    landmark: str
    value: str
    low: int | None
    high: int | None
    seen: bool
    why_not: str = ""

    @property
    def name(self) -> str:
        """The finding by landmark and value: ribs.firm_pressure."""
        return f"{self.landmark}.{self.value}"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What the findings of one place suggest: ``low`` to ``high`` in half points, or nothing.

    ``place`` is a region on ``five`` and "overall" on the other scales. ``reasons`` are message
    keys, the span's own first.
    """

    place: str
    low: int | None
    high: int | None
    found: tuple[Found, ...]
    reasons: tuple[Message, ...]


def version() -> int:
    """Return the version of the table that findings are matched by."""
    return int(fixture.load("findings")["version"])


def suggest(
    scale_key: str,
    findings: Mapping[str, str],
    *,
    felt: bool = True,
    pocket: str = scale.NO_POCKET,
    sex: str = "",
) -> tuple[Suggestion, ...]:
    """Return a suggestion for each place where something was found, head to tail.

    ``findings`` are values by landmark; ``felt`` is false where the animal was only seen; ``sex``
    is on record, "" where it is not known. Raises Invalid for a landmark or a value that the scale
    does not have, OutOfRange for a sex that is none of the list, KeyError for no scale of ours.
    """
    allowed.one_of("sex", sex, ("", *horse.SEXES))
    reader = Reader({"findings": dict(findings)})
    given = landmark.read(reader, scale_key)
    reader.finish()
    places = [
        (
            scale.WHOLE if place == landmark.WHOLE else place,
            [each for each in names if each in given],
        )
        for place, names in landmark.by_region(scale_key).items()
    ]
    return tuple(
        _of_place(
            place, [_found(scale_key, each, given[each], felt, sex) for each in names], pocket
        )
        for place, names in places
        if names
    )


def _found(scale_key: str, name: str, value: str, felt: bool, sex: str) -> Found:
    mark = fixture.load("findings")["landmarks"][name]
    row = next(each for each in mark["values"] if each["value"] == value)
    seen = row["sense"] == EYE or not felt
    if scale_key in mark["not_counted_on"]:
        return Found(name, value, None, None, seen, "suggest_noted")
    if sex in mark.get("not_counted_of", ()):
        return Found(name, value, None, None, seen, "suggest_noted_of_stallion")
    if not felt and row["sense"] == HAND:
        return Found(name, value, None, None, seen, "suggest_not_felt")
    low, high = (scale.halves(each) for each in row["goes_with"][scale_key])
    return Found(name, value, low, high, seen)


def _of_place(place: str, found: list[Found], pocket: str) -> Suggestion:
    counted = [each for each in found if not each.why_not]
    low, high, reasons = None, None, []
    if counted:
        if all(each.seen for each in counted) and len(counted) < _least_seen():
            reasons.append(Message("suggest_seen_alone", {"findings": _names(counted)}))
        else:
            low, high, why = _span(counted)
            reasons.append(why)
    for key in ("suggest_not_felt", "suggest_noted", "suggest_noted_of_stallion"):
        if left_out := [each for each in found if each.why_not == key]:
            reasons.append(Message(key, {"findings": _names(left_out)}))
    if place == scale.BACK and pocket == scale.MARKED:
        reasons.append(Message("suggest_pocket_once"))
    return Suggestion(place, low, high, tuple(found), tuple(reasons))


def _least_seen() -> int:
    return int(fixture.load("findings")["least_seen"])


def _span(counted: list[Found]) -> tuple[int, int, Message]:
    """Return the ends of what is suggested, and why.

    ``begins`` is where the fattest finding begins, ``ends`` where the thinnest leaves off. Both
    only rise as any finding becomes fatter, and so do the lesser and the greater of the two.
    """
    begins = max(each.low for each in counted if each.low is not None)
    ends = min(each.high for each in counted if each.high is not None)
    low, high = min(begins, ends), max(begins, ends)
    spans = {"from_score": scale.shown(low), "to_score": scale.shown(high)}
    if begins < ends:
        return low, high, Message("suggest_range", {"findings": _names(counted)} | spans)
    if begins == ends:
        one = {"findings": _names(counted), "from_score": scale.shown(low)}
        return low, high, Message("suggest_one", one)
    thin = _names([each for each in counted if each.high == ends])
    fat = _names([each for each in counted if each.low == begins])
    key = "suggest_between" if high - low <= SIDE_BY_SIDE else "suggest_disagree"
    return low, high, Message(key, {"thin": thin, "fat": fat} | spans)


def _names(found: list[Found]) -> str:
    """Return findings by name, the one that says most, with the narrowest span, first."""
    return ",".join(each.name for each in sorted(found, key=_width))


def _width(found: Found) -> int:
    return 0 if found.low is None or found.high is None else found.high - found.low


def as_json(suggested: tuple[Suggestion, ...]) -> dict[str, Any]:
    """Return suggestions as rows keep them and clients read them; {} where nothing was found.

    Scores are points with one place ("4.0"), reasons pairs of a message key and its parameters.
    """
    if not suggested:
        return {}
    return {"version": version(), "places": [_place(each) for each in suggested]}


def _place(each: Suggestion) -> dict[str, Any]:
    return {
        "place": each.place,
        "low": _points(each.low),
        "high": _points(each.high),
        "findings": [
            {
                "landmark": found.landmark,
                "value": found.value,
                "low": _points(found.low),
                "high": _points(found.high),
                "seen": found.seen,
            }
            for found in each.found
        ],
        "reasons": [[reason.key, dict(reason.params)] for reason in each.reasons],
    }


def _points(halves: int | None) -> str | None:
    return None if halves is None else scale.shown(halves)
