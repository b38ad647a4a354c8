"""Version 1 of the REST surface."""

from django.urls import path, register_converter

from api import converters
from api.views import (
    alerts,
    assessments,
    clinical_notes,
    concerns,
    events,
    grants,
    horses,
    instruments,
    me,
    photos,
    questions,
    record,
    rounds,
    rules,
    standing,
    trend,
    vet_orders,
    weighings,
    weight_formulas,
    yards,
)

register_converter(converters.RefConverter, "ref")

urlpatterns = [
    path("me/", me.MeView.as_view(), name="api_me"),
    path("yards/", yards.YardsView.as_view(), name="api_yards"),
    path("yards/<ref:id>/", yards.YardView.as_view(), name="api_yard"),
    path("yards/<ref:id>/walk/", rounds.WalkView.as_view(), name="api_walk"),
    path("rounds/<ref:id>/", rounds.RoundView.as_view(), name="api_round"),
    path("rounds/<ref:id>/after/", rounds.AfterRoundView.as_view(), name="api_after_round"),
    path("horses/", horses.HorsesView.as_view(), name="api_horses"),
    path("horses/<ref:id>/", horses.HorseView.as_view(), name="api_horse"),
    path("horses/<ref:id>/move/", horses.MoveView.as_view(), name="api_move"),
    path("horses/<ref:id>/merge/", horses.MergeView.as_view(), name="api_merge"),
    path("horses/<ref:id>/events/", events.EventsView.as_view(), name="api_events"),
    path("horses/<ref:id>/vet-orders/", vet_orders.VetOrdersView.as_view(), name="api_vet_orders"),
    path(
        "vet-orders/<ref:id>/end/", vet_orders.EndVetOrderView.as_view(), name="api_vet_order_end"
    ),
    path(
        "horses/<ref:id>/questions/",
        questions.HorseQuestionsView.as_view(),
        name="api_horse_questions",
    ),
    path("questions/", questions.QuestionsView.as_view(), name="api_questions"),
    path("questions/<ref:id>/answer/", questions.AnswerView.as_view(), name="api_question_answer"),
    path(
        "questions/<ref:id>/withdraw/",
        questions.WithdrawView.as_view(),
        name="api_question_withdraw",
    ),
    path(
        "horses/<ref:id>/clinical-notes/",
        clinical_notes.ClinicalNotesView.as_view(),
        name="api_clinical_notes",
    ),
    path(
        "clinical-notes/<ref:id>/correct/",
        clinical_notes.CorrectClinicalNoteView.as_view(),
        name="api_clinical_note_correct",
    ),
    path("horses/<ref:id>/concerns/", concerns.ConcernsView.as_view(), name="api_concerns"),
    path("horses/<ref:id>/standing/", standing.StandingView.as_view(), name="api_standing"),
    path("horses/<ref:id>/trend/", trend.TrendView.as_view(), name="api_trend"),
    path("due/", standing.DueView.as_view(), name="api_due"),
    path("assessments/", assessments.AssessmentsView.as_view(), name="api_assessments"),
    path(
        "assessments/batch/",
        assessments.AssessmentBatchView.as_view(),
        name="api_assessment_batch",
    ),
    path("assessments/<ref:id>/", assessments.AssessmentView.as_view(), name="api_assessment"),
    path(
        "assessments/<ref:id>/correct/",
        assessments.AssessmentCorrectView.as_view(),
        name="api_assessment_correct",
    ),
    path("weighings/", weighings.WeighingsView.as_view(), name="api_weighings"),
    path("weighings/batch/", weighings.WeighingBatchView.as_view(), name="api_weighing_batch"),
    path("weighings/<ref:id>/", weighings.WeighingView.as_view(), name="api_weighing"),
    path(
        "weighings/<ref:id>/correct/",
        weighings.WeighingCorrectView.as_view(),
        name="api_weighing_correct",
    ),
    path(
        "weight-formulas/",
        weight_formulas.WeightFormulasView.as_view(),
        name="api_weight_formulas",
    ),
    path(
        "weight-formulas/estimate/",
        weight_formulas.EstimateView.as_view(),
        name="api_weight_estimate",
    ),
    path("photos/", photos.PhotosView.as_view(), name="api_photos"),
    path("photos/<ref:id>/", photos.PhotoView.as_view(), name="api_photo"),
    path("photos/<ref:id>/image/", photos.PhotoImageView.as_view(), name="api_photo_image"),
    path("instruments/", instruments.InstrumentsView.as_view(), name="api_instruments"),
    path("alerts/", alerts.AlertsView.as_view(), name="api_alerts"),
    path(
        "alerts/<ref:id>/acknowledge/",
        alerts.AcknowledgeView.as_view(),
        name="api_alert_acknowledge",
    ),
    path("alerts/<ref:id>/resolve/", alerts.ResolveView.as_view(), name="api_alert_resolve"),
    path("alerts/<ref:id>/snooze/", alerts.SnoozeView.as_view(), name="api_alert_snooze"),
    path("rules/", rules.RulesView.as_view(), name="api_rules"),
    path("rules/<slug:rule>/", rules.RuleView.as_view(), name="api_rule"),
    path("rules/<slug:rule>/preview/", rules.PreviewView.as_view(), name="api_rule_preview"),
    path("rule-exceptions/", rules.RuleExceptionsView.as_view(), name="api_rule_exceptions"),
    path(
        "rule-exceptions/<ref:id>/end/",
        rules.EndRuleExceptionView.as_view(),
        name="api_rule_exception_end",
    ),
    path("grants/", grants.GrantsView.as_view(), name="api_grants"),
    path("grants/<ref:id>/revoke/", grants.RevokeView.as_view(), name="api_grant_revoke"),
    path("record/entries/", record.EntriesView.as_view(), name="api_entries"),
]
