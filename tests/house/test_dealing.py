"""What takes longest is begun first by each worker, and no test is lost or run twice."""

from tests import dealing


def test_each_hand_begins_with_its_share_of_the_long_ones() -> None:
    long, rest = ["A", "B", "C"], [str(number) for number in range(8)]
    found = dealing.dealt(long, rest, 2)
    assert found == ["A", "C", "0", "1", "2", "B", "3", "4", "5", "6", "7"]
    for hands in (1, 2, 3, 4, 11):
        found = dealing.dealt(long, rest, hands)
        assert sorted(found) == sorted([*long, *rest])
        assert [each for each in found if each in rest] == rest
        assert found[0] == "A"
