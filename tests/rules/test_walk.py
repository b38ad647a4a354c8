"""The walking order: read as it was sent, changed by number or by step."""

from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yards.rules import errors, walk

A, B, C, D = (UUID(int=number) for number in (4, 3, 2, 1))


def test_an_order_keeps_the_order_it_was_sent_in() -> None:
    found = walk.check({"version": 3, "horses": [str(A), str(B), str(D)]})
    assert (found.version, found.horses) == (3, (A, B, D))


@pytest.mark.parametrize(
    ("raw", "field", "key"),
    [
        ({"horses": [str(A)]}, "version", "required"),
        ({"version": 1}, "horses", "required"),
        ({"version": 1, "horses": [str(A), str(B), str(A)]}, "horses.2", "named_twice"),
        ({"version": 1, "horses": ["Teasel"]}, "horses.0", "not_an_id"),
        ({"version": 1, "horses": str(A)}, "horses", "not_a_list"),
        ({"version": 1, "horses": [], "yard": str(A)}, "yard", "unknown_field"),
    ],
)
def test_what_is_no_order_is_refused_at_its_field(
    raw: dict[str, object], field: str, key: str
) -> None:
    with pytest.raises(errors.Invalid) as refused:
        walk.check(raw)
    assert [(each.field, each.key) for each in refused.value.errors] == [(field, key)]


@pytest.mark.parametrize(
    ("places", "order"),
    [
        ({}, (A, B, C, D)),
        ({D: 1}, (D, A, B, C)),
        ({A: 4}, (B, C, D, A)),
        ({D: 2}, (A, D, B, C)),
        ({A: 3}, (B, C, A, D)),
        ({A: 2, B: 1}, (B, A, C, D)),
        ({A: 99}, (B, C, D, A)),
        # Every field goes along with the form; those that nobody touched say where they stand.
        ({A: 1, B: 2, C: 3, D: 1}, (D, A, B, C)),
    ],
)
def test_a_number_puts_a_horse_just_there(places: dict[UUID, int], order: tuple[UUID, ...]) -> None:
    assert walk.placed((A, B, C, D), places) == order


def test_a_step_changes_places_with_the_neighbour() -> None:
    assert walk.stepped((A, B, C), B, -1) == (B, A, C)
    assert walk.stepped((A, B, C), B, 1) == (A, C, B)
    assert walk.stepped((A, B, C), A, -1) == (A, B, C)
    assert walk.stepped((A, B, C), C, 1) == (A, B, C)
    assert walk.stepped((A, B, C), D, 1) == (A, B, C)


REFS = st.lists(st.uuids(), min_size=1, max_size=12, unique=True)


@given(REFS, st.data())
def test_no_horse_is_lost_or_doubled_and_one_move_goes_where_it_was_sent(
    refs: list[UUID], data: st.DataObject
) -> None:
    moved, to = data.draw(st.sampled_from(refs)), data.draw(st.integers(1, len(refs)))
    order = walk.placed(refs, {moved: to})
    assert sorted(order) == sorted(refs)
    assert order.index(moved) + 1 == to
    assert [each for each in order if each != moved] == [each for each in refs if each != moved]
