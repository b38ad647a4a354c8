"""What the herd's figures come to, in plain sentences: how many, against when, how sure.

Counts of horses by place are told over all scales; how far they stand off never is.
"""

from collections.abc import Callable, Iterable, Sequence

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext

from scoring.pages import herd_words
from scoring.queries.herd_ends import Tally
from scoring.queries.herd_met import Met, Punctuality
from scoring.rules import herd_due, herd_season, herd_share
from yards.pages import words

_Counted = tuple[int, int, int]  # below, within, above


def places(tally: Tally) -> _Counted:
    """Return how many horses stood below, within and above their own band."""
    steps = [(far, many) for each in tally.steps.values() for far, many in each.items()]
    return (
        sum(many for far, many in steps if far < 0),
        sum(many for far, many in steps if far == 0),
        sum(many for far, many in steps if far > 0),
    )


def end(this: Tally, last: Tally) -> list[str]:
    """Return the sentences of one end of a season: the verdict, why, this year, the year before."""
    if not this.known:
        return [gettext("Nobody was felt near this day, so nothing can be said of the latest.")]
    if not last.known:
        return [gettext("There is no year before to hold it against."), _places(this)]
    told = [_places(this), _places(last)]
    if min(this.known, last.known) < herd_share.FEWEST:
        few = gettext("Fewer than {n} were felt in one of the years: too few to compare them.")
        return [few.format(n=herd_share.FEWEST), *told]
    (below, _, above), (was_below, _, was_above) = places(this), places(last)
    fat = herd_share.difference((above, this.known), (was_above, last.known))
    thin = herd_share.difference((below, this.known), (was_below, last.known))
    return [
        _verdict(_way(fat), _way(thin)),
        _went(above, this.known, was_above, last.known, _ABOVE),
        _went(below, this.known, was_below, last.known, _BELOW),
        *told,
    ]


def _verdict(fat: int, thin: int) -> str:
    """Return whether it went better: fewer on one side of their bands and no more on the other."""
    if fat * thin < 0:
        return gettext("Better on one side of the bands, worse on the other.")
    if fat + thin < 0:
        return gettext("Better than the year before.")
    if fat + thin > 0:
        return gettext("Worse than the year before.")
    return gettext("Neither better nor worse than the year before, as far as can be told.")


def _way(gone: herd_share.Share | None) -> int:
    """Return 1 for surely more, -1 for surely fewer, 0 where the range holds no change."""
    if gone is None:
        return 0
    return int(gone.low > 0) - int(gone.high < 0)


def _places(tally: Tally) -> str:
    below, within, above = places(tally)
    told = ngettext(
        "{year}: of {n} horse felt near the day, {below} stood below its own band, {within} within "
        "and {above} above.",
        "{year}: of {n} horses felt near the day, {below} stood below their own band, {within} "
        "within and {above} above.",
        tally.known,
    )
    said = told.format(
        year=herd_words.year(tally.year), n=tally.known, below=below, within=within, above=above
    )
    said = words.capital(said)
    if tally.open_until is None or tally.year != herd_season.THIS:
        return said
    more = gettext("Scores until {day} may still count.")
    return f"{said} {more.format(day=herd_words.day(tally.open_until))}"


def _went(now: int, known: int, then: int, was: int, ways: tuple[Callable[[], str], ...]) -> str:
    """Return whether more, fewer or about as many; only a range without none says a difference."""
    gone = herd_share.difference((now, known), (then, was))
    if gone is None:
        return ""
    fewer, more, level = ways
    chosen = {1: more, -1: fewer, 0: level}[_way(gone)]
    sure = gettext(
        "{verdict} (change of the share {gone}, 80% range {low} to {high} points of 100)."
    )
    return sure.format(
        verdict=chosen(),
        gone=_signed(gone.value),
        low=_signed(gone.low),
        high=_signed(gone.high),
    )


def _signed(share: float) -> str:
    size = number_format(abs(round(100 * share)), use_l10n=True)
    return size if round(100 * share) == 0 else ("+" if share > 0 else "−") + size


_ABOVE = (
    lambda: gettext("Fewer stood above their own band than the year before"),
    lambda: gettext("More stood above their own band than the year before"),
    lambda: gettext("About as many stood above as the year before, the rest may be chance"),
)
_BELOW = (
    lambda: gettext("Fewer stood below their own band than the year before"),
    lambda: gettext("More stood below their own band than the year before"),
    lambda: gettext("About as many stood below as the year before, the rest may be chance"),
)
_PROMPT = (
    lambda: gettext("Fewer by their day in the newer half of these months than in the older"),
    lambda: gettext("More by their day in the newer half of these months than in the older"),
    lambda: gettext("About as prompt in both halves of these months, the rest may be chance"),
)


def met(told: Punctuality) -> list[str]:
    """Return the sentences of punctuality: the total, and whether it went up or down."""
    counts, due = told.whole.counts, told.whole.due
    if not due:
        return []
    total = ngettext(
        "Of {n} look that fell due, {by_due} was made by its day{share}, {week} within a week, "
        "{later} later and {not_done} not at all.",
        "Of {n} looks that fell due, {by_due} were made by their day{share}, {week} within a week, "
        "{later} later and {not_done} not at all.",
        due,
    ).format(
        n=due,
        by_due=counts[herd_due.BY_DUE],
        share=_share(counts[herd_due.BY_DUE], due),
        week=counts[herd_due.IN_A_WEEK],
        later=counts[herd_due.LATER],
        not_done=counts[herd_due.NOT_DONE],
    )
    still = counts[herd_due.OPEN]
    if still:
        more = ngettext("{n} more is still open.", "{n} more are still open.", still)
        total = f"{total} {more.format(n=still)}"
    return [total, _halves([each for _, each in told.months])]


def _share(count: int, known: int) -> str:
    share = herd_share.share(count, known)
    if share is None:
        return ""
    value, low, high = (round(100 * each) for each in share)
    return gettext(" ({value}%, 80% range {low} to {high}%)").format(
        value=value, low=low, high=high
    )


def _halves(months: Sequence[Met]) -> str:
    """Return whether the newer half of the months was met more promptly than the older."""
    middle = len(months) // 2
    (old, was), (new, due) = _by_due(months[:middle]), _by_due(months[middle:])
    if min(was, due) < herd_share.FEWEST:
        few = gettext("Fewer than {n} fell due in one half of these months: too few to compare.")
        return few.format(n=herd_share.FEWEST)
    return _went(new, due, old, was, _PROMPT)


def _by_due(months: Iterable[Met]) -> tuple[int, int]:
    held = list(months)
    return sum(each.counts[herd_due.BY_DUE] for each in held), sum(each.due for each in held)
