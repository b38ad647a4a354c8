"""One person's data, taken by a coordinator to whom a horse is closed: nothing of the horse."""

from datetime import UTC, datetime

from tests import cast, signing
from tests.api.asking import Asker
from tests.conftest import as_somebody
from tests.doors.conftest import Stage
from tests.doors.test_sight import SEALED, TEASEL, second_coordinator
from yards.actions import restrictions

PATH = "/organisation/personal/"
OF_TEASEL = ("assessment", "weighing", "concern", "danger_signs", "question", "order", "exception")
WORD = "Said of a closed horse"


def test_a_copy_holds_nothing_of_a_horse_that_is_closed(stage: Stage) -> None:
    with stage() as scene:
        said = {"text": WORD}
        commented = Asker("isolde").post(f"alerts/{scene['danger_signs']}/comments/", said)
        assert commented.status_code in {200, 201}, commented.content
        second_coordinator()
        with as_somebody("isolde") as viewer:
            restrictions.restrict(viewer, TEASEL, SEALED, now=datetime.now(UTC))
        hidden = {scene[name] for name in OF_TEASEL} | {str(TEASEL), "Teasel", WORD}
        found: dict[str, set[str]] = {}
        for reader in ("isolde", "tobias"):
            texts = [
                signing.signed_in(reader).post(PATH, {"person": str(cast.ref(key))})
                for key in ("isolde", "tobias", "keziah")
            ]
            assert [each.status_code for each in texts] == [200] * 3
            whole = "".join(each.content.decode() for each in texts)
            # A view of the board that a person named so themselves.
            whole = whole.replace('"name": "Teasel"', "")
            found[reader] = {each for each in hidden if each in whole}
            assert "Marram" in whole or scene["hidden assessment"] in whole
    assert found == {"isolde": hidden, "tobias": set()}
