"""Where each path leads."""

from django.urls import path

from yards.pages import (
    day_grants,
    glass,
    handling,
    horse_forms,
    horses,
    organisation,
    people,
    record,
    restrictions,
    settings,
    sight,
    tokens,
    yards,
)

app_name = "yards"
urlpatterns = [
    path("settings/", settings.settings, name="settings"),
    path("organisation/", organisation.organisation, name="organisation"),
    path("horses/", horses.horses, name="horses"),
    path("horses/add/", horse_forms.add_horse, name="add_horse"),
    path("horses/<uuid:id>/facts/", horse_forms.change_horse, name="change_horse"),
    path("horses/<uuid:id>/handling/", handling.handling, name="handling"),
    path("horses/<uuid:id>/move/", horse_forms.move_horse, name="move_horse"),
    path("horses/<uuid:id>/events/add/", horse_forms.add_event, name="add_event"),
    path("horses/<uuid:id>/identify/", horse_forms.merge_horse, name="merge_horse"),
    path("yards/", yards.yards, name="yards"),
    path("yards/add/", yards.add_yard, name="add_yard"),
    path("yards/<uuid:id>/", yards.change_yard, name="change_yard"),
    path("people/", people.people, name="people"),
    path("people/add/", people.issue_grant, name="issue_grant"),
    path("people/<uuid:id>/revoke/", people.revoke_grant, name="revoke_grant"),
    path("people/today/", day_grants.issue_day_grant, name="issue_day_grant"),
    path("people/<uuid:id>/", sight.person, name="person"),
    path("horses/<uuid:id>/seen-by/", sight.horse_seen, name="horse_seen"),
    path("horses/<uuid:id>/restrict/", restrictions.restrict_horse, name="restrict_horse"),
    path("horses/<uuid:id>/open/", restrictions.open_horse, name="open_horse"),
    path("glass/", glass.glass, name="glass"),
    path("glass/<uuid:id>/approve/", glass.approve_glass, name="approve_glass"),
    path("glass/<uuid:id>/end/", glass.end_glass, name="end_glass"),
    path("tokens/", tokens.tokens, name="tokens"),
    path("tokens/add/", tokens.issue_token, name="issue_token"),
    path("tokens/<uuid:id>/revoke/", tokens.revoke_token, name="revoke_token"),
    path("record/", record.record, name="record"),
    path("record/<uuid:id>/", record.entry, name="entry"),
]
