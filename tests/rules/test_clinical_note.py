"""What the ledger holds of a clinical note says nothing to whoever has not the note itself."""

import hashlib
import secrets

from scoring.rules import clinical_note
from tests.outside import EXACT, outside


@outside(
    "a note's seal is the SHA-256 of its salt and what it says",
    source="FIPS 180-4 by way of hashlib",
    status=EXACT,
)
def test_the_seal_is_the_hash_of_salt_and_words() -> None:
    told = b'{"reason":"","text":"Heart murmur, grade 2"}'
    salt = bytes(range(32))
    assert clinical_note.seal(salt, told) == hashlib.sha256(salt + told).hexdigest()


def test_the_same_words_under_another_salt_are_another_seal() -> None:
    told = b'{"reason":"","text":"Lame"}'
    seals = {clinical_note.seal(secrets.token_bytes(32), told) for _ in range(50)}
    assert len(seals) == 50
    assert hashlib.sha256(told).hexdigest() not in seals
