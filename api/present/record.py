"""The ledger."""

import base64

from api.present import forms
from yards.queries.ledger import EntryRow


def entry(found: EntryRow) -> dict[str, object]:
    """Return one entry: its canonical bytes, their leaf hash, and what it says.

    ``index`` is null until the entry is sealed.
    """
    return {
        "entry": str(found.ref),
        "index": None,
        "bytes": base64.b64encode(found.body).decode("ascii"),
        "leaf": found.leaf,
        "at": forms.instant(found.at),
        "actor": found.actor,
        "actor_name": found.actor_name,
        "via": found.via,
        "verb": found.verb,
        "target": {"kind": found.target_kind, "id": forms.ref(found.target_ref)},
        "salt": found.salt,
        "payload": found.payload,
    }
