"""What somebody looked at, in words: an entry holds the name of the page or call."""

from urllib.parse import parse_qs

from django.utils.translation import gettext


def what(reading: str) -> str:
    """Return what was asked for; a call of the REST surface is said as one."""
    name, _, query = reading.partition("?")
    on = parse_qs(query).get("on", [""])[0]
    if name in {"desk", "desk_horse"} and on:
        told = _pages()[name]
        return gettext("{page}, as known on {day}").format(page=told, day=on)
    if name.startswith("api_"):
        return gettext("a call of the interface for programs")
    return _pages().get(name, gettext("another page"))


def _pages() -> dict[str, str]:
    return {
        "desk": gettext("the officer's desk"),
        "desk_horse": gettext("its record on the officer's desk"),
        "board": gettext("the yard board"),
        "wall": gettext("the wall view"),
        "horses": gettext("the list of horses"),
        "horse": gettext("its page"),
        "readings": gettext("its scores"),
        "weights": gettext("its weights"),
        "values": gettext("its values as a table"),
        "readings as CSV": gettext("its readings as a file"),
        "readings as JSON": gettext("its readings as a file"),
        "herd": gettext("the herd"),
        "alerts": gettext("the alerts"),
        "alert": gettext("an alert"),
        "due": gettext("what is due"),
        "record": gettext("the record"),
        "entry": gettext("an entry of the record"),
        "notes": gettext("its clinical notes"),
        "yards": gettext("the yards"),
    }
