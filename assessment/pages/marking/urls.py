"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.marking import class_pages, deciding, documents, run, views

app_name = "marking"
urlpatterns = [
    path("", views.assignments, name="assignments"),
    path("assignments/<uuid:uuid>/", views.assignment, name="assignment"),
    path("work/<uuid:uuid>/", views.work, name="work"),
    path("work/<uuid:uuid>/decide/", deciding.decide, name="decide"),
    path("work/<uuid:uuid>/feedback/", deciding.feedback, name="feedback"),
    path("work/<uuid:uuid>/release/", deciding.let_go, name="release"),
    path("work/<uuid:uuid>/declare/", deciding.declare, name="declare"),
    path("work/<uuid:uuid>/feedback-record.pdf", documents.feedback_record, name="feedback_record"),
    path("assignments/<uuid:uuid>/release/", deciding.let_all_go, name="release_ready"),
    path("assignments/<uuid:uuid>/run/<str:code>/", run.run, name="run"),
    path("assignments/<uuid:uuid>/evidence/", class_pages.evidence, name="evidence"),
    path("assignments/<uuid:uuid>/summary.pdf", class_pages.summary, name="summary"),
    path("assignments/<uuid:uuid>/fair/", class_pages.fair, name="fair"),
    path("work/<uuid:uuid>/portfolio.pdf", documents.portfolio, name="portfolio"),
    path("assignments/<uuid:uuid>/portfolios/", documents.class_set, name="class_set"),
    path("portfolios/<uuid:uuid>.zip", documents.class_set_file, name="class_set_file"),
]
