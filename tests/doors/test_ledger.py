"""The ledger: canonical bytes, leaf hashes, salted payloads.

Sources: RFC 8785 (JSON Canonicalization Scheme) sections 3.2.2 to 3.2.4 for its own sample and its
bytes, RFC 9162 section 2.1.1 for the leaf hash, FIPS 180-4 by way of hashlib for SHA-256.
"""

import hashlib
import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta

import pytest
import rfc8785

from tests import cast, factories
from tests.outside import EXACT, outside
from yards import audit, isolation
from yards.models import Entry, EntryPayload
from yards.queries import ledger
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
AT = cast.BEGAN + timedelta(days=3, microseconds=120)

# RFC 8785 section 3.2.2: the sample object, and section 3.2.4: the bytes that it must become.
RFC_SAMPLE = r"""
{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}
"""
RFC_BYTES = bytes.fromhex(
    "7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72"
    "75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a"
    "5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31"
    "65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37"
    "5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30"
    "30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d"
)


def canonical(value: object) -> bytes:
    """RFC 8785 for text, null and objects of ASCII keys, written here apart from the library."""
    if isinstance(value, dict):
        inner = b",".join(
            canonical(key) + b":" + canonical(value[key])
            for key in sorted(value, key=lambda key: key.encode("utf-16-be"))
        )
        return b"{" + inner + b"}"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).encode()
    if value is None or (isinstance(value, int) and not isinstance(value, bool)):
        return json.dumps(value).encode()
    raise AssertionError(f"an entry holds no {type(value).__name__}")


def recorded(inside: Inside, **payload: object) -> tuple[audit.Receipt, Entry, EntryPayload]:
    with inside("isolde") as viewer:
        receipt = audit.record(
            viewer,
            verb="test.done",
            target=("horse", cast.ref("Teasel")),
            payload=payload,
            at=AT,
        )
        entry = Entry.objects.get(ref=receipt.entry)
        return receipt, entry, EntryPayload.objects.get(entry=entry)


@outside(
    "canonical bytes of the RFC's sample", source="RFC 8785, sections 3.2.2 to 3.2.4", status=EXACT
)
def test_the_library_gives_the_rfc_s_own_bytes() -> None:
    assert rfc8785.dumps(json.loads(RFC_SAMPLE)) == RFC_BYTES


@outside(
    "an entry is canonical JSON, its payload hashed by SHA-256",
    source="RFC 8785; FIPS 180-4 by way of hashlib",
    status=EXACT,
)
def test_an_entry_is_the_canonical_bytes_of_what_was_done(inside: Inside) -> None:
    receipt, entry, said = recorded(inside, note="Straße € \u0000 \U0001f40e")
    body = bytes(entry.body)
    assert canonical(json.loads(body)) == body
    assert json.loads(body) == {
        "v": 1,
        "id": str(receipt.entry),
        "organisation": str(cast.ref(cast.QUILLET)),
        "at": "2025-01-09T09:00:00.000120Z",
        "actor": f"person:{cast.ref('isolde')}",
        "via": "api",
        "verb": "test.done",
        "target": {"kind": "horse", "id": str(cast.ref("Teasel"))},
        "payload_sha256": hashlib.sha256(bytes(said.salt) + bytes(said.payload)).hexdigest(),
    }


@outside(
    "a leaf is hashed with a zero byte before it", source="RFC 9162, section 2.1.1", status=EXACT
)
def test_the_leaf_is_the_hash_of_a_zero_byte_and_the_entry(inside: Inside) -> None:
    receipt, entry, _ = recorded(inside, what="anything")
    expected = hashlib.sha256(b"\x00" + bytes(entry.body)).digest()
    assert bytes(entry.leaf) == expected
    assert receipt.leaf == expected.hex()


@outside(
    "leaf hash of empty input",
    source="Certificate Transparency reference tree, first root",
    status=EXACT,
)
def test_the_leaf_hash_of_nothing_is_the_published_one() -> None:
    """The first root of the Certificate Transparency reference tree, whose first input is empty."""
    published = "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"
    assert audit.leaf_of(b"").hex() == published


def test_salts_are_never_the_same_so_equal_payloads_do_not_show(inside: Inside) -> None:
    _, first, one = recorded(inside, note="same")
    _, second, other = recorded(inside, note="same")
    assert bytes(one.payload) == bytes(other.payload)
    assert bytes(one.salt) != bytes(other.salt)
    assert len(bytes(one.salt)) == 32
    hashes = [json.loads(bytes(each.body))["payload_sha256"] for each in (first, second)]
    assert hashes[0] != hashes[1]


def test_the_entry_holds_no_name_note_or_contact(inside: Inside) -> None:
    _, entry, _ = recorded(inside, name="Isolde Kerr", email="isolde@example.org", note="Lame")
    for personal in (b"Isolde", b"example.org", b"Lame"):
        assert personal not in bytes(entry.body)


def test_an_entry_goes_with_its_change_or_not_at_all(inside: Inside) -> None:
    def changed_and_failed() -> None:
        with inside("isolde") as viewer:
            audit.record(viewer, verb="test", target=("test", None), payload={}, at=AT)
            raise errors.Conflict

    with pytest.raises(errors.Conflict):
        changed_and_failed()
    with inside("isolde"):
        assert Entry.objects.count() == 0
        assert EntryPayload.objects.count() == 0


def test_no_entry_is_written_outside_the_open_organisation(inside: Inside) -> None:
    from tests.conftest import viewer_of

    perran = viewer_of("perran")
    with pytest.raises(isolation.NotIsolated), inside("isolde"):
        audit.record(perran, verb="test", target=("test", None), payload={}, at=AT)


def test_every_reader_can_check_what_the_list_shows(inside: Inside) -> None:
    recorded(inside, weight="checked")
    with inside("hollis", read_only=True) as viewer:
        row = ledger.list_entries(viewer).items[0]
    assert hashlib.sha256(b"\x00" + row.body).hexdigest() == row.leaf
    assert row.salt is not None
    said = bytes.fromhex(row.salt) + canonical(row.payload)
    assert json.loads(row.body)["payload_sha256"] == hashlib.sha256(said).hexdigest()
    assert (row.actor_name, row.payload) == ("Isolde Kerr", {"weight": "checked"})


def test_what_a_grant_withholds_cannot_be_guessed_and_the_leaf_still_holds(inside: Inside) -> None:
    recorded(inside, note="lame, says her owner")
    with inside("hollis", read_only=True) as viewer:
        row = ledger.list_entries(viewer).items[0]
    assert (row.withheld, row.salt, row.payload) == (True, None, {})
    assert hashlib.sha256(b"\x00" + row.body).hexdigest() == row.leaf


def test_a_payload_can_be_erased_and_the_leaf_still_holds(inside: Inside) -> None:
    receipt, entry, _ = recorded(inside, note="to be forgotten")
    with inside("isolde") as viewer:
        factories.erase_payload(viewer, entry, person=cast.ref("maud"))
        assert EntryPayload.objects.filter(entry=entry).delete()[0] == 1
    with inside("isolde", read_only=True) as viewer:
        row = ledger.list_entries(viewer).items[0]
    assert (row.payload, row.salt, row.leaf) == (None, None, receipt.leaf)
    assert audit.leaf_of(row.body).hex() == receipt.leaf
