"""A preview that lives in its address: back, reload and a copied link show it again.

The first press of a rule's form leads there; only what was seen there is saved.
"""

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponseRedirect

from yards.pages import sheets

SEE, SAVE = "see", "save"
_NEW, _AGAIN = "1", "again"
# What the form carries for itself, and what an address of ours says of another press.
_OURS = frozenset({SEE, "previewed", "press", "saved", "resolved"})


def leads_to(
    request: HttpRequest, values: Mapping[str, Any], *, unseen: bool
) -> HttpResponseRedirect:
    """Lead to the preview of what was typed; ``unseen``: it was to be saved, and had not been."""
    kept = {name: value for name, value in values.items() if name not in _OURS and value != ""}
    query = urlencode({SEE: _AGAIN if unseen else _NEW, **kept})
    return HttpResponseRedirect(f"{request.path}?{query}#preview", status=303)


def values(request: HttpRequest) -> dict[str, Any] | None:
    """Return what the address asks to see, None where it asks for nothing."""
    if SEE not in request.GET:
        return None
    typed = sheets.typed(request.GET)
    return {name: value for name, value in typed.items() if name not in _OURS}


def was_unseen(request: HttpRequest) -> bool:
    """Return whether somebody pressed to save what had changed since it was seen."""
    return request.GET.get(SEE) == _AGAIN
