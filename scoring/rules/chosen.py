"""What is said beside a suggestion once a score was chosen: the hand decides, and what counts.

Said at once, so that nobody has to save first to learn which of the two is recorded. The phone says
the same by ``scoring/static/scoring/round/rules/overall.js``; both are held to
``fixtures/chosen_cases.json``.
"""

from scoring.rules import scale
from scoring.rules.finding import Message


def beside(low: int | None, high: int | None, felt: int, pocket: str) -> tuple[Message, ...]:
    """Return what to say of a chosen score, in half points like the suggested ``low`` to ``high``.

    ``pocket`` is the answer on the fat pocket where it counts, on back and ribs; elsewhere none.
    """
    differs = low is not None and high is not None and not low <= felt <= high
    chosen = {"felt_score": scale.shown(felt)}
    hand = (Message("chosen_hand", chosen),) if differs else ()
    if pocket != scale.MARKED:
        return hand
    used = scale.Felt(None, felt, None).with_pocket(pocket).back
    if used is None or used == felt:
        return (*hand, Message("chosen_most", chosen))
    key = "chosen_hand_pocket" if differs else "chosen_pocket"
    return (Message(key, chosen | {"used_score": scale.shown(used)}),)
