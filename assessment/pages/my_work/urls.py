"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.my_work import documents, views

app_name = "my_work"
urlpatterns = [
    path("", views.works, name="works"),
    path("<uuid:uuid>/", views.work, name="work"),
    path("<uuid:uuid>/submit/", views.submit, name="submit"),
    path("<uuid:uuid>/portfolio.pdf", documents.portfolio, name="portfolio"),
    path("<uuid:uuid>/feedback-record.pdf", documents.feedback_record, name="feedback_record"),
]
