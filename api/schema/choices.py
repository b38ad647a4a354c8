"""The closed lists of the contract, each from the rules that hold it."""

from scoring.rules import (
    danger,
    due,
    instrument,
    keys,
    ladder,
    photo,
    policy_input,
    question,
    reading,
    scale,
    tape,
    threshold,
    weighing,
)
from yards.rules import event, fixture, grant, horse, invitation, organisation, seasons
from yards.rules.roles import Role

HEMISPHERES = seasons.HEMISPHERES
ROLES = tuple(role.value for role in Role if role is not Role.SYSTEM)
GRANTED_ROLES = grant.ROLES
GRANT_STATES = ("not_begun", "unconfirmed", "in_force", "ended", "revoked")
INVITATION_HOURS = invitation.LONGEST_HOURS
INVITATION_STATES = invitation.STATES
SPECIES = horse.SPECIES
KINDS = horse.ALL_KINDS
SEXES = horse.SEXES
USES = horse.USES
BREEDING = horse.BREEDING
LAMINITIS = horse.LAMINITIS
ENDOCRINE = horse.ENDOCRINE
BORN_BASIS = horse.BORN_BASIS
STATUSES = (*horse.STATUSES, "merged")
NEW_STATUSES = horse.HERE
EVENTS = event.KINDS

SCALES = scale.SCALES
REGIONS = scale.REGIONS
NOT_SAFE = (*scale.REGIONS, scale.WHOLE)
PLACES_FELT = (*scale.REGIONS, scale.WHOLE)
SUGGESTED = tuple(keys.SUGGESTION)
CROSSED_SCALES = (scale.FIVE, scale.NINE)
OVERALL_RULES = organisation.OVERALL_RULES
FAT_POCKETS = scale.POCKETS
MANNERS = reading.MANNERS
APPETITES = reading.APPETITES
MUSCLES = reading.MUSCLES
COATS = reading.COATS
DANGER_SIGNS = danger.signs()
PLACES = ("below", "within", "above")
METHODS = weighing.METHODS
FED = weighing.FED
TAPE_SIDES = tape.sides()
TAPE_POSITIONS = tape.positions()
INSTRUMENTS = instrument.KINDS
PHOTOS_OF = photo.OF
PHOTO_SIDES = photo.SIDES
QUESTION_STATES = question.STATES
QUESTION_ENDS = question.ENDS

RULES = tuple(each["rule"] for each in fixture.load("risk_rules")["rules"])
SEVERITIES = ladder.SEVERITIES
ALERT_STATES = ladder.STATES
HEARERS = policy_input.ROLES
RESOLUTIONS = ("reading", "season", "time", "graver", "person", "gone", "setting")
THRESHOLD_SIDES = threshold.SIDES
THRESHOLD_UNITS = threshold.UNITS
CONFIDENCES = threshold.CONFIDENCES
EXCEPTION_STATES = ("in_force", "over")
DUE_STATES = due.STATES
DUE_WHAT = ("score", "weight")
