"""The wall stands in the migrated database, as the catalog itself tells it."""

from django.conf import settings

from yards.isolation import catalog


def test_the_catalog_gate_finds_no_fault(database: str) -> None:
    assert catalog.faults(settings.TABLE_CLASSES) == []
