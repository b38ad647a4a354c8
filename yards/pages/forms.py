"""A form of its own page: shown, sent, put right or done. Each page says only what it asks."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

import uuid_utils.compat as uuid_utils
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.translation import gettext

from yards.pages import controls, frame, sheets
from yards.pages.controls import Control
from yards.pages.tables import Link
from yards.queries.yards import VetContact
from yards.rules import errors, sheet
from yards.rules.roles import Viewer

METHODS = ("GET", "HEAD", "POST")
SAVED_BEFORE = "same_id_other_content"


@dataclass(frozen=True, slots=True)
class Form:
    """What a page with one form says. ``start`` is what the fields begin with.

    ``hidden`` goes along unseen (a version, for instance). ``zone`` is the one of its local times.
    ``caution`` stands above the fields with ``vet``'s numbers, ``back`` is (address, words);
    ``asked_then`` is what a refusal asks besides; ``links`` below the form lead elsewhere.
    ``template`` extends ``yards/form.html`` where a page has more to say, told by ``more``.
    ``named`` says more of a field than its label does, where a page asks the same more than once.
    """

    title: str
    controls: tuple[Control, ...]
    submit: str
    back: tuple[str, str]
    lead: str = ""
    caution: str = ""
    zone: str = "UTC"
    start: Mapping[str, Any] = field(default_factory=dict)
    hidden: tuple[str, ...] = ()
    current: str = ""
    makes: bool = True
    vet: VetContact | None = None
    links: tuple[Link, ...] = ()
    template: str = "yards/form.html"
    more: Mapping[str, Any] = field(default_factory=dict)
    named: Mapping[str, str] = field(default_factory=dict)
    asked_then: Callable[[errors.Refused], tuple[Control, ...]] = lambda _refused: ()

    @property
    def labels(self) -> dict[str, str]:
        """What each field is called, for the summary of faults."""
        return {**{each.name: each.label for each in self.controls}, **self.named}


def new_id() -> str:
    """Return an id for what a form makes, so that sending it twice makes one thing."""
    return str(uuid_utils.uuid7())


def page(
    request: HttpRequest,
    viewer: Viewer,
    form: Form,
    *,
    now: datetime,
    sent: sheets.Sheet | None = None,
    status: int = 200,
) -> HttpResponse:
    """Return the form's page; a new one carries an id, so that sending it twice makes one thing."""
    if sent is None:
        own = {"id": new_id()} if form.makes else {}
        sent = sheets.Sheet({**own, **form.start})
    sent.labels = form.labels
    hidden = [(name, sent.values.get(name, "")) for name in ("id", *form.hidden)]
    kept = [each for each in hidden if each[1] != ""]
    shown = {**form.more, "form": form, "sent": sent, "hidden": kept}
    return frame.page(
        request,
        viewer,
        form.template,
        shown,
        now=now,
        zone=form.zone,
        current=form.current,
        status=status,
    )


def with_more(form: Form, **more: Any) -> Form:
    """Return a form that says more to its template."""
    return replace(form, more={**form.more, **more})


def raw_of(form: Form, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was typed as the mapping that a client would send in JSON."""
    by_kind = {
        kind: [each.name for each in form.controls if each.kind == kind]
        for kind in (controls.FLAG, controls.TICKS, controls.MOMENT, controls.LAST_DAY)
    }
    return sheet.nested(
        controls.stored(form.controls, values),  # type: ignore[arg-type]
        flags=by_kind[controls.FLAG],
        lists=by_kind[controls.TICKS],
        times=by_kind[controls.MOMENT],
        days=by_kind[controls.LAST_DAY],
        zone=form.zone,
    )


def counted(raw: dict[str, Any]) -> dict[str, Any]:
    """Return what was typed with its version as the number that a client would send."""
    version = str(raw.get("version", ""))
    return {**raw, "version": int(version)} if version.isdecimal() and version.isascii() else raw


def answered(
    request: HttpRequest,
    viewer: Viewer,
    form: Form,
    act: Callable[[dict[str, Any]], str | HttpResponse],
    *,
    now: datetime,
) -> HttpResponse:
    """Show the form, or hand what was typed to ``act``, which returns where to go next.

    What ``act`` refuses comes back with every fault at its field and everything typed still there.
    """
    if request.method != "POST":
        return page(request, viewer, form, now=now)
    many = [each.name for each in form.controls if each.kind == controls.TICKS]
    values = sheets.typed(request.POST, many)
    try:
        where = act(raw_of(form, values))
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused, form.controls)
        if form.makes and any(each.key == SAVED_BEFORE for each in refused.errors):
            # Back, changed, sent again: under a new id the next press records this one too.
            again = sheets.Sheet({**values, "id": str(uuid_utils.uuid7())}, again.errors)
            again.errors = {"": [_saved_before()]}
        form = replace(form, controls=(*form.controls, *form.asked_then(refused)))
        return page(request, viewer, form, now=now, sent=again, status=refused.status)
    return where if isinstance(where, HttpResponse) else HttpResponseRedirect(where, status=303)


def _saved_before() -> str:
    return gettext(
        "This form was saved before, and that stands. What you changed is below: send it again to "
        "record it as well, or correct what was saved."
    )
