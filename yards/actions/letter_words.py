"""Puts letters about signing in into words, and makes the link of each as it goes.

Each is in the language of whoever reads it; where nobody knows that yet, in the inviter's.

A link's token is made of the server's secret key and what the link is for, so that no table holds
it: the same letter, sent again after a crash, carries the same link.
"""

import base64
from datetime import datetime
from uuid import UUID

from allauth.account.forms import default_token_generator
from allauth.account.utils import user_pk_to_url_str
from django.conf import settings
from django.core.mail import EmailMessage
from django.template import loader
from django.urls import reverse
from django.utils import translation
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from yards import isolation
from yards.access import viewers
from yards.actions import post
from yards.models import Invitation, User
from yards.queries import invitations, role_words, tastes
from yards.rules import errors
from yards.rules.roles import Role, Verb, Viewer, may

INVITATION, NEW_PASSWORD = "invitation", "new_password"
_SALT = "yards.actions.letter_words.invitation"


def token_of(row: Invitation) -> str:
    """Return the token of an invitation's present link: 256 bits that only this server can make."""
    about = f"{row.organisation_id}:{row.ref}:{row.link}"
    made = salted_hmac(_SALT, about, algorithm="sha256").digest()
    return base64.urlsafe_b64encode(made).decode().rstrip("=")


def invitation(organisation: UUID, ref: UUID, name: str, now: datetime) -> EmailMessage | None:
    """Return the letter of an invitation and let its link open; None when it is open no more."""
    system = Viewer(organisation=organisation, role=Role.SYSTEM, via="task")
    with isolation.of(system):
        row = Invitation.objects.select_for_update(no_key=True).get(
            organisation_id=organisation, ref=ref
        )
        # An address that nobody signs in by has no language of its own.
        reader = User.objects.filter(email=row.email).first() or row.invited_by
        if row.accepted_at or row.revoked_at or row.expires_at <= now:
            return None
        token = token_of(row)
        row.digest = viewers.digest_of(token)
        row.save(update_fields=["digest"])
        offer = invitations.offer(system, ref)
    link = settings.SITE_URL + reverse("yards:arrive", kwargs={"token": token})
    facts = {"who": offer.inviter, "organisation": offer.organisation}
    with tastes.of(tastes.of_person(reader)):
        subject = _("{who} invites you to {organisation}").format(**facts)
        role = role_words.label(offer.role)
        told = {"offer": offer, "role": role, "link": link, "site": settings.SITE_URL}
        text = loader.render_to_string("yards/mail/invitation.txt", told)
        return message(row.email, subject, text, name)


def undelivered(organisation: UUID, ref: UUID, now: datetime) -> tuple[str, dict[str, str]] | None:
    """Return to which address what is said of an invitation whose letter did not go: its inviter's.

    None where its link went or waits for nobody any more, or they may not let people in now.
    """
    with isolation.of(Viewer(organisation=organisation, role=Role.SYSTEM, via="task")):
        rows = Invitation.objects.filter(organisation_id=organisation, ref=ref)
        row = rows.select_related("invited_by", "organisation").get()
    if row.sent_at or row.accepted_at or row.revoked_at:
        return None
    inviter = row.invited_by
    try:
        viewer = viewers.viewer_of_person(inviter.pk, now, organisation=organisation)
    except errors.NotSignedIn:
        return None
    if not may(viewer, Verb.CHANGE_PEOPLE):
        return None
    link = settings.SITE_URL + reverse("yards:invitations")
    told = {"row": row, "link": link, "site": settings.SITE_URL}
    with tastes.of(tastes.of_person(inviter)):
        text = loader.render_to_string("yards/mail/undelivered.txt", told)
        subject = _("Not delivered: the invitation to {email}").format(email=row.email)
        return inviter.email, said(subject, text)


def said(subject: str, text: str) -> dict[str, str]:
    """Return what a letter keeps of a message as it stands: in the language that is open now."""
    return {"subject": subject, "text": text, "language": str(translation.get_language())}


def mark_sent(organisation: UUID, ref: UUID, now: datetime) -> None:
    """Note that the mail server took the letter."""
    system = Viewer(organisation=organisation, role=Role.SYSTEM, via="task")
    with isolation.of(system):
        Invitation.objects.filter(organisation_id=organisation, ref=ref).update(sent_at=now)


def new_password(email: str, name: str) -> EmailMessage | None:
    """Return the letter with a link for a new password; None where nobody has this address."""
    user = User.objects.filter(email=email, is_active=True).first()
    if user is None:
        return None
    ids = {"uidb36": user_pk_to_url_str(user), "key": default_token_generator.make_token(user)}
    link = settings.SITE_URL + reverse("account_reset_password_from_key", kwargs=ids)
    minutes = settings.PASSWORD_RESET_TIMEOUT // 60
    told = {"name": user.name, "link": link, "minutes": minutes, "site": settings.SITE_URL}
    with tastes.of(tastes.of_person(user)):
        text = loader.render_to_string("yards/mail/new_password.txt", told)
        return message(user.email, _("Choose a new password"), text, name)


def message(email: str, subject: str, text: str, name: str) -> EmailMessage:
    """Return a message in plain text, in the language that is open.

    ``name`` is its Message-ID, the same at each attempt.
    """
    return post.Unfolded(
        subject=post.line(subject),
        body=text,
        to=[email],
        headers={
            "Message-ID": name,
            "Auto-Submitted": "auto-generated",
            "Content-Language": str(translation.get_language()),
        },
    )
