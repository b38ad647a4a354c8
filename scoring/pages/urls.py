"""Where the pages of scoring lead."""

from django.urls import path

from scoring.pages import (
    alerts,
    board,
    board_views,
    board_wall,
    clinical_notes,
    concerns,
    due,
    help_content,
    help_pages,
    herd,
    herd_files,
    horse,
    horse_values,
    install,
    measuring,
    questions,
    round_order,
    rounds,
    rule_exceptions,
    rules,
    score,
    shells,
    vet_orders,
    visit,
    weighed,
    weighings,
)
from scoring.rules import scale

app_name = "scoring"
urlpatterns = [
    path("", board.board, name="board"),
    path("wall/", board_wall.wall, name="wall"),
    path("views/", board_views.keep, name="keep_view"),
    path("views/<uuid:id>/remove/", board_views.remove, name="remove_view"),
    path("due/", due.due, name="due"),
    path("herd/", herd.herd, name="herd"),
    path("herd/seasons/", herd.seasons, name="herd_seasons"),
    path("herd/shares/", herd.shares, name="herd_shares"),
    path("herd/due/", herd.met, name="herd_due"),
    path("herd/months.csv", herd_files.herd, name="herd_csv"),
    path("herd/seasons.csv", herd_files.seasons, name="herd_seasons_csv"),
    path("herd/shares.csv", herd_files.shares, name="herd_shares_csv"),
    path("herd/due.csv", herd_files.met, name="herd_due_csv"),
    path("visit/", visit.visit, name="visit"),
    # What a phone keeps, and opens without a network.
    path("sw.js", install.worker, name="worker"),
    path("manifest.webmanifest", install.manifest, name="manifest"),
    *(
        path(f"round/score/{key}/", shells.score, {"key": key}, name=f"score_{key}")
        for key in scale.SCALES
    ),
    path("round/facing/", shells.facing, name="facing"),
    path("round/unknown/", shells.unknown, name="unknown"),
    path("round/sending/", shells.sending, name="sending"),
    path("round/away/", shells.away, name="away"),
    path("help/", help_pages.page, {"key": help_content.INDEX}, name="help"),
    *(
        path(f"help/scale/{key}/", help_pages.page, {"key": key}, name=f"help_{key}")
        for key in (*scale.SCALES, scale.CREST)
    ),
    *(
        path(f"help/{key}/", help_pages.page, {"key": key}, name=f"help_{key}")
        for key in (
            *(help_content.FEELING, help_content.TAPE, help_content.WORDS),
            help_content.WHO,
        )
    ),
    path("round/", rounds.rounds, name="rounds"),
    path("round/<uuid:id>/", rounds.walk, name="round"),
    path("round/<uuid:id>/order/", round_order.order, name="round_order"),
    path("horses/<uuid:id>/", horse.horse, name="horse"),
    path("horses/<uuid:id>/readings/", horse.readings, name="readings"),
    path("horses/<uuid:id>/weights/", horse.weights, name="weights"),
    path("horses/<uuid:id>/values/", horse_values.values, name="values"),
    path("horses/<uuid:id>/readings.csv", horse_values.readings_csv, name="readings_csv"),
    path("horses/<uuid:id>/readings.json", horse_values.readings_json, name="readings_json"),
    path("horses/<uuid:id>/score/", score.score, name="score"),
    path("horses/<uuid:id>/weigh/", weighings.weigh, name="weigh"),
    path("horses/<uuid:id>/weigh/formula/", measuring.measure, name="measure"),
    path("horses/<uuid:id>/concern/", concerns.concern, name="concern"),
    path("horses/<uuid:id>/order/", vet_orders.vet_order, name="vet_order"),
    path("orders/<uuid:id>/end/", vet_orders.end_order, name="end_order"),
    path("horses/<uuid:id>/questions/", questions.questions, name="questions"),
    path("horses/<uuid:id>/questions/ask/", questions.ask, name="ask"),
    path("questions/<uuid:id>/answer/", questions.answer, name="answer"),
    path("questions/<uuid:id>/withdraw/", questions.withdraw, name="withdraw"),
    path("horses/<uuid:id>/notes/", clinical_notes.notes, name="notes"),
    path("horses/<uuid:id>/notes/write/", clinical_notes.write, name="write_note"),
    path("notes/<uuid:id>/correct/", clinical_notes.correct, name="correct_note"),
    path("assessments/<uuid:id>/", score.scored, name="scored"),
    path("assessments/<uuid:id>/correct/", score.correct, name="correct"),
    path("weighings/<uuid:id>/", weighed.weighed, name="weighed"),
    path("weighings/<uuid:id>/correct/", weighings.correct_weighing, name="correct_weighing"),
    path("rules/", rules.rules, name="rules"),
    path("rules/<slug:rule>/", rules.rule, name="rule"),
    path("rules/<slug:rule>/horses/<uuid:id>/", rule_exceptions.except_horse, name="except_horse"),
    path("rules/<slug:rule>/yards/<uuid:id>/", rule_exceptions.except_yard, name="except_yard"),
    path("exceptions/<uuid:id>/end/", rule_exceptions.end, name="end_exception"),
    path("alerts/", alerts.alerts, name="alerts"),
    path("alerts/<uuid:id>/", alerts.alert, name="alert"),
    path("alerts/<uuid:id>/acknowledge/", alerts.acknowledge, name="acknowledge"),
    path("alerts/<uuid:id>/resolve/", alerts.resolve, name="resolve"),
]
