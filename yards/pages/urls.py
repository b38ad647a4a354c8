"""Where each path leads."""

from django.urls import path

from yards.pages import (
    handling,
    horse_forms,
    horses,
    invite,
    join,
    organisation,
    people,
    record,
    settings,
    switch,
    tokens,
    yards,
)

app_name = "yards"
urlpatterns = [
    path("settings/", settings.settings, name="settings"),
    path("organisations/", switch.organisations, name="organisations"),
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
    path("people/invitations/", invite.invitations, name="invitations"),
    path("people/invite/", invite.invite, name="invite"),
    path("people/invite/vet/", invite.invite_vet, name="invite_vet"),
    path("people/invitations/<uuid:id>/send/", invite.send_again, name="send_invitation"),
    path("people/invitations/<uuid:id>/withdraw/", invite.withdraw, name="withdraw_invitation"),
    path("invitations/", join.join, name="join"),
    path("invitations/<str:token>/", join.arrive, name="arrive"),
    path("tokens/", tokens.tokens, name="tokens"),
    path("tokens/add/", tokens.issue_token, name="issue_token"),
    path("tokens/<uuid:id>/revoke/", tokens.revoke_token, name="revoke_token"),
    path("record/", record.record, name="record"),
    path("record/<uuid:id>/", record.entry, name="entry"),
]
