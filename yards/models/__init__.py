"""The tables of who and where. Opened only by access, audit, queries and actions."""

from yards.models.base import Owned
from yards.models.erasures import Emptying, ErasedPayload, Erasure
from yards.models.events import HorseEvent
from yards.models.grants import Grant, GrantHorse, GrantYard, Token
from yards.models.horses import Horse, Stay
from yards.models.invitations import Invitation
from yards.models.ledger import Entry, EntryPayload
from yards.models.letters import Letter
from yards.models.organisations import Organisation, Yard
from yards.models.people import User
from yards.models.pulses import Pulse
from yards.models.sight import GlassBreak, Restriction, RestrictionPerson

__all__ = [
    "Emptying",
    "Entry",
    "EntryPayload",
    "ErasedPayload",
    "Erasure",
    "GlassBreak",
    "Grant",
    "GrantHorse",
    "GrantYard",
    "Horse",
    "HorseEvent",
    "Invitation",
    "Letter",
    "Organisation",
    "Owned",
    "Pulse",
    "Restriction",
    "RestrictionPerson",
    "Stay",
    "Token",
    "User",
    "Yard",
]
