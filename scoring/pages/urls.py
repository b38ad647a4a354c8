"""Where the pages of scoring lead."""

from django.urls import path

from scoring.pages import alerts, board, score

app_name = "scoring"
urlpatterns = [
    path("", board.board, name="board"),
    path("horses/<uuid:id>/score/", score.score, name="score"),
    path("assessments/<uuid:id>/", score.scored, name="scored"),
    path("alerts/", alerts.alerts, name="alerts"),
    path("alerts/<uuid:id>/", alerts.alert, name="alert"),
    path("alerts/<uuid:id>/acknowledge/", alerts.acknowledge, name="acknowledge"),
    path("alerts/<uuid:id>/resolve/", alerts.resolve, name="resolve"),
]
