"""A little of everything at Quillet Moor, made through the REST surface, to knock on doors with."""

import time
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from scoring.actions import board_views
from scoring.rules import board_wanted
from tests import cast, photos, signing
from tests.api.asking import Asker
from tests.conftest import viewer_of
from yards import isolation
from yards.actions import glass, invitations


@dataclass
class Scene:
    """The ids of what there is, by name."""

    ids: dict[str, str] = field(default_factory=dict)
    sessions: dict[str, str] = field(default_factory=dict)
    # What the other organisation has, by the name of what is like it here.
    theirs: dict[str, str] = field(default_factory=dict)

    def __getitem__(self, name: str) -> str:
        return self.ids[name]

    def sign_in(self) -> None:
        """Let each caller of the pages sign in, once: it costs as much as the page itself."""
        for key in ("isolde", "maud", "tobias", "keziah", "hollis", "perran"):
            client = signing.signed_in(key)
            # The scene is copied for as long as the run takes; nobody is asked again meanwhile.
            signing.gave_password(client, time.time() + 24 * 3600)
            self.sessions[key] = signing.session_of(client)


def ago(**span: float) -> str:
    """An instant before now, as clients write it."""
    return (datetime.now(UTC) - timedelta(**span)).isoformat()


def ahead(**span: float) -> str:
    """An instant to come, as clients write it."""
    return (datetime.now(UTC) + timedelta(**span)).isoformat()


def fresh(name: str) -> str:
    """An id that nothing has yet."""
    return str(cast.ref(f"fresh {name}"))


def assessment(horse: str, **changes: Any) -> dict[str, Any]:
    """A plain assessment by three regions: 3, 3.5, 3."""
    regions = {"neck_and_shoulder": "3.0", "back_and_ribs": "3.5", "hindquarters": "3.0"}
    plain = {"horse": horse, "taken_at": ago(hours=1), "scale": "five", "manner": "palpated"}
    return {**plain, "regions": regions, **changes}


def local(**span: float) -> str:
    """A time before now by the yard's clock, as a page's field has it."""
    return f"{datetime.now(ZoneInfo('Europe/London')) - timedelta(**span):%Y-%m-%dT%H:%M}"


def weight() -> dict[str, str]:
    """The weighing page's form as filled in: by eye, an hour ago."""
    return {"method": "estimate", "weight_kg": "452", "taken_at": local(hours=1)}


def girth_and_length() -> dict[str, str]:
    """The formula page's form as filled in, with the first formula for a horse."""
    return {"measures.girth_cm": "180", "measures.length_cm": "160", "taken_at": local(hours=1)}


def sheet() -> dict[str, str]:
    """The scoring page's form as filled in: 3, 3.5, 3, an hour ago by the yard's clock."""
    return {
        "scale": "five",
        "manner": "palpated",
        "taken_at": local(hours=1),
        "regions.neck_and_shoulder": "3.0",
        "regions.back_and_ribs": "3.5",
        "regions.hindquarters": "3.0",
    }


def weighing(horse: str, **changes: Any) -> dict[str, Any]:
    """A plain weighing by eye."""
    plain = {"horse": horse, "taken_at": ago(hours=1), "method": "estimate", "weight_kg": "471.0"}
    return {**plain, **changes}


def exception(horse: str) -> dict[str, Any]:
    """A plain exception: the crest of one horse is left alone for a month."""
    plain = {"rule": "crest_raised", "horse": horse, "on": False, "until": ahead(days=30)}
    return {**plain, "reason": "Misread the sheet"}


def excepted() -> dict[str, str]:
    """The page of an exception as filled in and previewed: the rule of the fat is off."""
    previewed = '{"on":false,"rule":"fat","thresholds":{}}'
    form = {"on": "false", "until": local(days=-30)[:10], "reason": "Misread the sheet"}
    return {**form, "press": "save", "previewed": previewed}


def escalation() -> dict[str, str]:
    """The page of the urgent ladder, filled in and previewed: one step, again after 20 minutes."""
    previewed = (
        '{"repeat_minutes":20,"severity":"urgent","steps":[{"after_minutes":0,"people":[],'
        '"roles":["coordinator"]}],"unreached":[]}'
    )
    step = {"steps.0.after_minutes": "0", "steps.0.roles": "coordinator", "repeat_minutes": "20"}
    more = {"reason": "As we work", "version": "1", "press": "save", "previewed": previewed}
    return {**step, **more}


FAT = {"neck_and_shoulder": "3.5", "back_and_ribs": "5.0", "hindquarters": "4.0"}


def build() -> Scene:
    """Make it in the database that Django is connected to."""
    isolde, tobias = Asker("isolde"), Asker("tobias")
    scene = Scene()
    for name in (*cast.YARDS, *cast.HORSES):
        scene.ids[name] = str(cast.ref(name))
    for key in ("isolde", "maud", "keziah", "perran"):
        scene.ids[key] = str(cast.ref(key))
    scene.ids["grant"] = str(cast.ref("grant of tobias"))
    scene.ids["token"] = str(cast.ref("token of device"))
    _spring_today(isolde, scene)
    scene.ids["tape"] = _made(isolde, "instruments/", {"kind": "weigh_tape", "label": "Blue tape"})
    stray = {"name": "Stray", "yard": scene["Top Barn"], "species": "horse", "is_unknown": True}
    scene.ids["stray"] = _made(isolde, "horses/", stray)
    scene.ids["event"] = _made(
        isolde, f"horses/{scene['Tansy']}/events/", {"kind": "clipped", "at": ago(days=2)}
    )
    about = isolde.get(f"record/entries/?target={scene['event']}").json()["results"]
    scene.ids["entry"] = about[0]["entry"]
    scene.ids["assessment"] = _made(
        tobias,
        "assessments/",
        assessment(scene["Teasel"], regions=FAT, danger_signs=["not_eating"]),
    )
    scene.ids["hidden assessment"] = _made(tobias, "assessments/", assessment(scene["Marram"]))
    scene.ids["weighing"] = _made(tobias, "weighings/", weighing(scene["Teasel"]))
    scene.ids["hidden weighing"] = _made(tobias, "weighings/", weighing(scene["Marram"]))
    scene.ids["photo"] = _made(tobias, "photos/", photos.form("horse", scene["Teasel"]))
    scene.ids["hidden photo"] = _made(tobias, "photos/", photos.form("horse", scene["Marram"]))
    for name, horse in (("concern", "Teasel"), ("hidden concern", "Marram")):
        seen = {"seen_at": ago(hours=1), "note": "Dull"}
        scene.ids[name] = _made(tobias, f"horses/{scene[horse]}/concerns/", seen)
    for name, horse in (("", "Teasel"), ("hidden ", "Marram")):
        _with_the_vet(scene, name, f"horses/{scene[horse]}/")
    scene.ids["exception"] = _made(isolde, "rule-exceptions/", exception(scene["Teasel"]))
    scene.ids["view"] = _view("isolde")
    scene.ids["glass"] = _glass("maud")
    scene.ids["invitation"] = _invitation("isolde")
    scene.ids["absence"] = _made(Asker("maud"), "absences/", {"until": ahead(days=9)})
    for alert in isolde.get("alerts/").json()["results"]:
        scene.ids[alert["rule"]] = alert["id"]
    return scene


def _spring_today(isolde: Asker, scene: Scene) -> None:
    day = [f"{datetime.now(UTC) + timedelta(days=days):%m-%d}" for days in (-20, 20)]
    change = {"spring": {"first": day[0], "last": day[1]}, "version": 1}
    answer = isolde.patch(f"yards/{scene['Top Barn']}/", change)
    assert answer.status_code == 200, answer.content


def _with_the_vet(scene: Scene, name: str, horse: str) -> None:
    tobias, keziah = Asker("tobias"), Asker("keziah")
    asked, told = {"text": "May she be clipped?"}, {"text": "Heart murmur, grade 2."}
    scene.ids[f"{name}question"] = _made(tobias, f"{horse}questions/", asked)
    scene.ids[f"{name}note"] = _made(keziah, f"{horse}clinical-notes/", told)
    order = {"score_days": 9, "reason": "Convalescent", "until": ahead(days=9)}
    scene.ids[f"{name}order"] = _made(keziah, f"{horse}vet-orders/", order)


def _view(key: str) -> str:
    viewer = viewer_of(key)
    with isolation.of(viewer):
        wanted = board_wanted.Wanted(search="Teasel")
        return str(board_views.keep(viewer, {"name": "Teasel"}, wanted, now=datetime.now(UTC)))


def _glass(key: str) -> str:
    viewer = viewer_of(key)
    with isolation.of(viewer):
        asked = {"reason": "Horse down, nobody there"}
        return str(glass.ask(viewer, asked, now=datetime.now(UTC)))


def _invitation(key: str) -> str:
    viewer = viewer_of(key)
    with isolation.of(viewer):
        asked = {"email": "newcomer@example.org", "role": "auditor", "yards": "all"}
        return str(invitations.invite(viewer, asked, now=datetime.now(UTC)).ref)


def _made(asker: Asker, path: str, body: dict[str, Any]) -> str:
    answer = asker.post(path, body)
    assert answer.status_code == 201, (path, answer.content)
    return str(answer.json()["id"])
