"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import path

from practicals.pages.board import (
    chamber_views,
    front_views,
    learner_views,
    lesson_views,
    paper_views,
    results_views,
    same_figures_views,
    views,
)

app_name = "board"
urlpatterns = [
    path("session/<uuid:uuid>/", views.board, name="board"),
    path("session/<uuid:uuid>/live/", views.live, name="live"),
    path("session/<uuid:uuid>/end/", views.end, name="end_bench_work"),
    path("session/<uuid:uuid>/close/", views.close, name="close"),
    path("session/<uuid:uuid>/results/", results_views.results, name="results"),
    path("session/<uuid:uuid>/results/values.csv", results_views.results_csv, name="results_csv"),
    path("session/<uuid:uuid>/results/values.xlsx", results_views.results_xlsx, name="results_xlsx"),
    path("session/<uuid:uuid>/results/release/", results_views.release, name="release_results"),
    path("session/<uuid:uuid>/chambers/", chamber_views.chambers, name="chambers"),
    path("session/<uuid:uuid>/learner/<uuid:learner>/", learner_views.learner, name="learner"),
    path("session/<uuid:uuid>/learner/<uuid:learner>/note/", learner_views.note, name="note"),
    path(
        "session/<uuid:uuid>/learner/<uuid:learner>/release-help/", learner_views.release, name="release_help"
    ),
    path("session/<uuid:uuid>/learner/<uuid:learner>/give/", learner_views.give, name="give_paper"),
    path("lesson/<uuid:uuid>/register/", lesson_views.register, name="register"),
    path("paper/<uuid:uuid>/", paper_views.paper, name="paper"),
    path("paper/<uuid:uuid>/no-result/", paper_views.no_result, name="no_result"),
    path("paper/<uuid:uuid>/same-figures/", same_figures_views.answer, name="same_figures"),
    path("paper/<uuid:uuid>/front/", front_views.front, name="front"),
    path("photo/<uuid:uuid>/", paper_views.photo, name="photo"),
    path("batch/<uuid:uuid>/", chamber_views.batch_papers, name="batch_papers"),
]
