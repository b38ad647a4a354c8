"""``python -m tests.bench``, as ``deploy/bench`` runs it: a database of its own, then the table."""

import argparse
import dataclasses
import platform
import sys
import uuid

import django
from django.db import connections


def main() -> None:
    """Measure, and print Markdown; the database is removed at the end."""
    django.setup()
    from tests import copies
    from tests.bench import run

    parser = argparse.ArgumentParser(description=__doc__)
    for field in dataclasses.fields(run.Counts):
        parser.add_argument(f"--{field.name}", type=int, default=field.default)
    counts = run.Counts(**vars(parser.parse_args()))
    name = f"hp_bench_{uuid.uuid4().hex[:12]}"
    copies.build(name, "template1", *copies.MIGRATE, *copies.CAST)
    try:
        for alias in connections:
            connections[alias].settings_dict["NAME"] = name
        python = platform.python_version()
        sys.stdout.write(f"\nPython {python}; medians [quartiles] of interleaved rounds.\n\n")
        for part in run.report(name, counts):
            sys.stdout.write(f"{part}\n")
            sys.stdout.flush()
    finally:
        connections.close_all()
        copies.drop(name)


if __name__ == "__main__":
    main()
