"""What was found of one organisation's hands, instruments and animals, as its readings are used.

Worked out by ``trend_fit`` in a worker and kept as JSON; here it is read, without numpy. Values are
in the unit of the series: points, logarithms of kilograms, or centimetres; times in days.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from scoring.rules import checked, doubts, outlook, trend
from scoring.rules.doubts import Doubts

VERSION = 1
NOT_ENOUGH = outlook.NOT_ENOUGH


class OtherVersion(ValueError):
    """Kept by another version of this: fit again."""


@dataclass(frozen=True, slots=True)
class Offset:
    """How much one hand or instrument reads too high.

    ``compared`` says whether it ever read an animal that another read within the same baseline. If
    not, ``value`` is 0 and ``sd`` what was thought before any reading. ``apart_sd`` is how unsure
    the value is beside the mean of those it was compared with, or beside a true instrument where
    one is among them; ``sd`` also has what all of the group may share, which nothing shows. Of that
    ``shared_sd`` is what its error has in common with the others of ``group``, by number.
    """

    value: float
    sd: float
    apart_sd: float
    compared: bool
    readings: int
    horses: int
    shared_sd: float = 0.0
    group: int = -1

    @property
    def own_sd(self) -> float:
        """How unsure the value is on its own account, one standard deviation."""
        return math.sqrt(max(self.sd**2 - self.shared_sd**2, 0.0))


@dataclass(frozen=True, slots=True)
class Noise:
    """The standard deviation of one reading by a method; the default's where ``readings`` is 0."""

    sd: float
    readings: int
    horses: int


@dataclass(frozen=True, slots=True)
class Factor:
    """How many times its method's noise one hand or instrument has, drawn towards 1."""

    times: float
    readings: int
    horses: int


@dataclass(frozen=True, slots=True)
class Kind:
    """What was found of hands, or of instruments, by key.

    ``sd`` is how far offsets of such lie from 0, one standard deviation: what is thought of a key
    that is not among them.
    """

    sd: float
    offsets: Mapping[str, Offset]
    factors: Mapping[str, Factor]


@dataclass(frozen=True, slots=True)
class Fit:
    """One organisation's readings of one series, understood.

    ``reason`` is empty, or says why nothing was fitted: then the defaults stand and there are no
    offsets. ``bridged`` are pairs of instruments whose difference is known as well as one reading
    is. Log-likelihoods of all readings, natural: with the defaults, and with what was found.
    """

    series: str
    reason: str
    model: trend.Model
    noise: Mapping[str, Noise]
    true_methods: tuple[str, ...]
    assessors: Kind
    instruments: Kind
    bridged: tuple[tuple[str, str], ...]
    readings: int
    horses: int
    log_likelihood_before: float
    log_likelihood_after: float
    version: int = VERSION

    def noise_of(self, method: str, assessor: str = "", instrument: str = "") -> float:
        """Return the standard deviation of one reading; raises OutOfRange for an unknown method."""
        if method not in self.noise:
            raise checked.OutOfRange("method", ", ".join(sorted(self.noise)))
        times = 1.0
        for kind, key in ((self.assessors, assessor), (self.instruments, instrument)):
            factor = kind.factors.get(key)
            times *= factor.times if factor else 1.0
        return self.noise[method].sd * times

    def offset_of(self, method: str, assessor: str = "", instrument: str = "") -> float:
        """Return how much a reading is too high; an empty key is none, an unknown one is at 0."""
        if self.reason or method in self.true_methods:
            return 0.0
        found = (
            kind.offsets.get(key)
            for kind, key in ((self.assessors, assessor), (self.instruments, instrument))
        )
        return sum((each.value for each in found if each), 0.0)

    def doubts_of(
        self,
        method: str,
        assessor: str = "",
        instrument: str = "",
        *,
        error: float | None = None,
    ) -> Doubts:
        """Return what readings of these keys may all be off by, each with its standard deviation.

        Of a key that was compared: what the fit left of its own, and what its group has in common,
        as one key more. Of any other: what offsets are thought to be. An instrument also misses the
        shape of an animal, which no fit tells: ``error``, or ``doubts.on_animal``.
        """
        if method in self.true_methods:
            return ()
        found: list[tuple[str, float]] = []
        if assessor:
            found += _told(doubts.hand(assessor), self.assessors, assessor, 0.0)
        if instrument:
            usual = doubts.WEIGHT[method].instrument if method in doubts.WEIGHT else 0.0
            (key, own), *shared = _told(
                doubts.tool(instrument), self.instruments, instrument, usual
            )
            found += [(key, math.hypot(own, doubts.on_animal(method, error))), *shared]
        return tuple(found)

    def plain(self) -> dict[str, Any]:
        """Return the fit as a row's JSON holds it."""
        made = asdict(self)
        made["true_methods"] = list(self.true_methods)
        made["bridged"] = [list(each) for each in self.bridged]
        return made

    @classmethod
    def of(cls, plain: Mapping[str, Any]) -> "Fit":
        """Return the fit that a row's JSON holds; raises OtherVersion for another version's."""
        if plain.get("version") != VERSION:
            raise OtherVersion(str(plain.get("version")))
        return cls(
            **{
                **plain,
                "model": trend.Model(**plain["model"]),
                "noise": {key: Noise(**each) for key, each in plain["noise"].items()},
                "true_methods": tuple(plain["true_methods"]),
                "assessors": _kind(plain["assessors"]),
                "instruments": _kind(plain["instruments"]),
                "bridged": tuple((one, two) for one, two in plain["bridged"]),
            }
        )


def _told(name: str, kind: Kind, key: str, usual: float) -> list[tuple[str, float]]:
    """Return the doubts of one key, its own first; ``usual`` is the least of one not compared."""
    found = kind.offsets.get(key)
    if found is None or not found.compared:
        return [(name, max(kind.sd, usual))]
    sort, _, _ = name.partition(":")
    return [(name, found.own_sd), (f"{sort}s:{found.group}", found.shared_sd)]


def _kind(plain: Mapping[str, Any]) -> Kind:
    return Kind(
        plain["sd"],
        {key: _offset(each) for key, each in plain["offsets"].items()},
        {key: Factor(**each) for key, each in plain["factors"].items()},
    )


def _offset(plain: Mapping[str, Any]) -> Offset:
    """Return an offset; what one from before groups were kept had in common is worked out."""
    found = Offset(**plain)
    if "shared_sd" in plain or not found.compared:
        return found
    common = math.sqrt(max(found.sd**2 - found.apart_sd**2, 0.0))
    return replace(found, shared_sd=common, group=0)
