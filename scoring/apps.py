"""Scoring: what was felt and what it means."""

from django.apps import AppConfig


class ScoringConfig(AppConfig):
    """Scale, assessments, weighings, standing, risk and alerts."""

    name = "scoring"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Let changes in yards set off what hangs on them here."""
        from scoring.actions import (
            followers,
            forgetting,
            glass_letter,
            standing,
            sweep,
            unnaming,
        )
        from scoring.pages import unanswered
        from scoring.queries import absences, record, wording
        from yards.actions import after
        from yards.pages import frame
        from yards.queries import erasing, ledger
        from yards.queries import wording as house

        after.glass_approved.append(glass_letter.announce)
        after.person_erased.append(forgetting.forget)
        after.person_unnamed.append(unnaming.unname)
        after.horse_made.append(standing.make)
        after.horse_changed.append(followers.horse_changed)
        after.horse_visited.append(followers.horse_visited)
        after.horse_moved.append(followers.horse_moved)
        after.horse_ended.append(followers.horse_ended)
        after.horse_merged.append(followers.horse_merged)
        # A yard's morning look at the calendar.
        after.yard_made.append(sweep.ensure_sweep)
        # The sweep's timer is locked before the standings, as a sweep itself does.
        after.yard_changed.append(sweep.ensure_sweep)
        after.yard_changed.append(followers.yard_changed)
        ledger.targets_in_scope.update(record.TARGETS)
        erasing.targets_of["absence"] = absences.refs_of
        house.extend(wording.say)
        # What cannot wait stands first.
        frame.banners.insert(0, unanswered.banner)
