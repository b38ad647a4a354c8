"""What a horse's trend runs by: what was found of hands, tapes and horses, or the defaults."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from scoring.models import Fit, Standing
from scoring.rules import doubts, fitted, trend
from scoring.rules import standing as rule

WEIGHT = "weight"


@dataclass(frozen=True, slots=True)
class InForce:
    """Fits by series: the scales, and weight. What was not fitted runs by the defaults."""

    of_series: Mapping[str, fitted.Fit] = field(default_factory=dict)

    def score_model(self, scale: str) -> trend.Model:
        """Return the model of a scale's scores."""
        found = self.of_series.get(scale)
        return rule.SCORE if found is None else found.model

    @property
    def weight_model(self) -> trend.Model:
        """The model of weights, in logarithms of kilograms."""
        found = self.of_series.get(WEIGHT)
        return rule.WEIGHT if found is None else found.model

    @property
    def bridged(self) -> frozenset[frozenset[str]]:
        """Pairs of instruments whose difference is known."""
        found = self.of_series.get(WEIGHT)
        return frozenset(frozenset(pair) for pair in found.bridged) if found else frozenset()

    def score(self, at: datetime, sixths: int, scale: str, assessor: int) -> trend.Reading:
        """Return a felt overall as the trend reads it."""
        found, hand = self.of_series.get(scale), str(assessor)
        taken = rule.score_reading(at, sixths, scale)
        if found is None or found.reason or scale not in found.noise:
            return taken._replace(doubts=doubts.of_hand(scale, hand))
        # A scale is its own method: everything here was felt.
        return taken._replace(
            noise=found.noise_of(scale, hand),
            offset=found.offset_of(scale, hand),
            doubts=found.doubts_of(scale, hand),
        )

    def weight(
        self,
        at: datetime,
        kg: float,
        method: str,
        *,
        assessor: int,
        instrument: str | None,
        error: float | None = None,
    ) -> trend.Reading:
        """Return a weight as the trend reads it; ``instrument`` None is by eye.

        ``error`` is a formula's likely error by its source, as a share of the weight.
        """
        found = self.of_series.get(WEIGHT)
        keys = (method, str(assessor), instrument or by_eye(assessor))
        taken = rule.weight_reading(at, kg, method)
        if found is None or found.reason or method not in found.noise:
            return taken._replace(doubts=doubts.of_weight(*keys, error))
        return taken._replace(
            noise=found.noise_of(*keys),
            offset=found.offset_of(*keys),
            doubts=found.doubts_of(*keys, error=error),
        )


DEFAULTS = InForce()


def by_eye(assessor: int) -> str:
    """Return the key of somebody's eye: what has none is taken to read true."""
    return f"eye:{assessor}"


def of(standing: Standing) -> InForce:
    """Return what a standing's filters run by: one query where there is a fit."""
    return DEFAULTS if standing.fit is None else read(standing.fit)


def by_key(standings: Iterable[Standing]) -> dict[int, InForce]:
    """Return what filters run by, by the fit's key: one query, each read once for all that name it.

    A standing without a fit runs by ``DEFAULTS``.
    """
    named = {each.fit_id for each in standings if each.fit_id is not None}
    return {row.id: read(row) for row in Fit.objects.filter(id__in=named)}


def read(row: Fit) -> InForce:
    """Return what a row holds; one of another version is none, until the next is made."""
    try:
        return InForce({key: fitted.Fit.of(each) for key, each in row.content.items()})
    except fitted.OtherVersion:
        return DEFAULTS


def newest() -> Fit | None:
    """Return the organisation's newest, the one that standings are brought to."""
    return Fit.objects.order_by("-id").first()
