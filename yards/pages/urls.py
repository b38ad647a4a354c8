"""Where each path leads."""

from django.urls import path

from yards.pages import (
    handling,
    horse_forms,
    horses,
    organisation,
    people,
    record,
    settings,
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
    path("tokens/", tokens.tokens, name="tokens"),
    path("tokens/add/", tokens.issue_token, name="issue_token"),
    path("tokens/<uuid:id>/revoke/", tokens.revoke_token, name="revoke_token"),
    path("record/", record.record, name="record"),
    path("record/<uuid:id>/", record.entry, name="entry"),
]
