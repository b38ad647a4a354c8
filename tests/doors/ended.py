"""Who may do nothing any more, and what the other organisation has: made beside the scene."""

from datetime import timedelta

from tests import cast, factories, signing
from tests.api.asking import Asker
from tests.doors.scene import Scene, assessment, weighing
from yards import isolation
from yards.models import Grant, Token, User
from yards.rules.roles import Role, Viewer

# All three were coordinators; the fourth has the token of one who still is, which ended.
PEOPLE = ("expired", "revoked", "disabled")
TOKENS = ("token expired", "token revoked")
OVER = cast.BEGAN + timedelta(days=30)


def name_of(key: str) -> str:
    """A person's name."""
    return f"Somebody {key}"


def email_of(key: str) -> str:
    """A person's address."""
    return f"{key}@example.org"


def label_of(key: str) -> str:
    """What a token is called."""
    return f"Program of {key}"


def add(scene: Scene) -> None:
    """Make them, with sessions and tokens from when they still might."""
    house = Viewer(organisation=cast.ref(cast.QUILLET), role=Role.SYSTEM)
    for key in PEOPLE:
        person = User.objects.create_user(
            id=cast.ref(key),
            email=email_of(key),
            name=name_of(key),
            password=cast.PASSWORD,
            created_at=cast.BEGAN,
        )
        with isolation.of(house):
            _let_in(key, person)
        scene.sessions[key] = signing.session_of(signing.signed_in(key))
    User.objects.filter(id=cast.ref("disabled")).update(is_active=False)
    with isolation.of(house):
        Grant.objects.filter(person_id=cast.ref("revoked")).update(revoked_at=OVER)
        Grant.objects.filter(person_id=cast.ref("expired")).update(until_at=OVER)
        for key in TOKENS:
            _token(key, cast.ref("isolde"))
        Token.objects.filter(ref=cast.ref("token of token revoked")).update(revoked_at=OVER)
        Token.objects.filter(ref=cast.ref("token of token expired")).update(expires_at=OVER)


def _let_in(key: str, person: User) -> None:
    factories.GrantFactory(
        organisation_id=cast.ref(cast.QUILLET),
        ref=cast.ref(f"grant of {key}"),
        person=person,
        role="coordinator",
        all_yards=True,
    )
    _token(key, person.id)


def _token(key: str, person: object) -> None:
    factories.TokenFactory(
        organisation_id=cast.ref(cast.QUILLET),
        ref=cast.ref(f"token of {key}"),
        person_id=person,
        label=label_of(key),
        raw=cast.token(key),
    )


def theirs() -> dict[str, str]:
    """Make a little of everything at the other organisation; return its ids by ours.

    What a row of the matrix names of ours, it is asked for there.
    """
    perran, gorse = Asker("perran"), str(cast.ref("Gorse"))

    def made(path: str, body: object) -> str:
        answer = perran.post(path, body)
        assert answer.status_code == 201, answer.content
        return str(answer.json()["id"])

    read = made("assessments/", assessment(gorse, danger_signs=["not_eating"]))
    alert = perran.get("alerts/").json()["results"][0]["id"]
    entry = perran.get("record/entries/").json()["results"][0]["entry"]
    return {
        **dict.fromkeys(("Teasel", "Marram", "stray"), gorse),
        "Top Barn": str(cast.ref("Larchgill Yard")),
        "assessment": read,
        "weighing": made("weighings/", weighing(gorse)),
        "tape": made("instruments/", {"kind": "weigh_tape", "label": "Their tape"}),
        "question": made(f"horses/{gorse}/questions/", {"text": "May she be clipped?"}),
        **dict.fromkeys(("danger_signs", "fat_in_spring"), alert),
        "entry": entry,
        "grant": str(cast.ref("grant of perran")),
        "invitation": made(
            "invitations/", {"email": "n@example.org", "role": "auditor", "yards": "all"}
        ),
        "token": str(cast.ref("token of perran")),
        **dict.fromkeys(("maud", "isolde", "keziah"), str(cast.ref("perran"))),
    }
