"""Says in plain words what is wrong with the sending of alerts; ends with 1 when anything is."""

import math
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from yards.queries import pulses
from yards.rules import silence

REMEDIES = {
    silence.BEAT: "Beat is silent{since}: nothing asks for what is due, so no alert is sent or"
    " escalated. Start beat again; its log says why it stopped.",
    silence.WORKER: "The worker is silent{since}: it takes no ticks of beat. If beat is silent too,"
    " begin there; else see that Redis answers, and start the worker again.",
    silence.MAIL: "Mail is silent{since}: the mail server has taken nothing. See EMAIL_URL and the"
    " worker's log; nothing is lost, messages go when it answers.",
    silence.REHEARSAL: "The rehearsed reading has raised no alert{since}. The worker's log says"
    " where it stopped.",
    silence.RECONCILER: "What was left behind has not been looked for{since}. See the worker's"
    " log.",
    silence.UNDELIVERED: "{count} messages or letters have waited for more than two minutes, or"
    " were given up. See the worker's log for what the mail server answers.",
    silence.STRANDED: "{count} organisations could not be looked through for alerts without a next"
    " step. See the worker's log.",
    silence.CLOCK: "A process's clock is {off} s off the database's. Set it right: steps of alerts"
    " are taken by it.",
}


class Command(BaseCommand):
    """0 when every part was seen at work and nothing waits; else 1, each fault with its remedy."""

    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        """Look, and say."""
        try:
            found = pulses.troubles()
        except DatabaseError as error:
            self.stdout.write(f"The database does not answer: {type(error).__name__}.")
            raise SystemExit(1) from error
        for trouble in found:
            self.stdout.write(_said(trouble))
        if found:
            raise SystemExit(1)
        self.stdout.write("All is well: beat, worker and mail were seen at work, nothing waits.")


def _said(trouble: silence.Trouble) -> str:
    never = math.isinf(trouble.age_s)
    since = ", and was never seen" if never else f" for {trouble.age_s:.0f} s"
    return REMEDIES[trouble.what].format(since=since, count=trouble.count, off=trouble.age_s)
