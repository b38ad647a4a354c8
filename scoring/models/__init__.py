"""The tables of what was felt. Opened only by access, queries and actions."""

from scoring.models.alert_acts import AlertAct
from scoring.models.alerts import Alert, AlertSighting
from scoring.models.assessments import Assessment
from scoring.models.assessors import Assessor, Instrument
from scoring.models.board_views import BoardView
from scoring.models.clinical_notes import ClinicalNote
from scoring.models.concerns import Concern
from scoring.models.fits import Fit
from scoring.models.notices import Notice, Timer
from scoring.models.own_rules import RuleException, RuleSetting
from scoring.models.photos import Photo
from scoring.models.policies import Absence, EscalationPolicy
from scoring.models.questions import Question, QuestionEnd
from scoring.models.standing import Standing
from scoring.models.vet_orders import VetOrder, VetOrderEnd
from scoring.models.weighings import Weighing

__all__ = [
    "Absence",
    "Alert",
    "AlertAct",
    "AlertSighting",
    "Assessment",
    "Assessor",
    "BoardView",
    "ClinicalNote",
    "Concern",
    "EscalationPolicy",
    "Fit",
    "Instrument",
    "Notice",
    "Photo",
    "Question",
    "QuestionEnd",
    "RuleException",
    "RuleSetting",
    "Standing",
    "Timer",
    "VetOrder",
    "VetOrderEnd",
    "Weighing",
]
