"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.standardise import views

app_name = "standardise"
urlpatterns = [
    path("", views.standardisations, name="standardisations"),
    path("open/", views.open_one, name="open"),
    path("<uuid:uuid>/", views.piece, name="piece"),
    path("<uuid:uuid>/reveal/", views.reveal, name="reveal"),
    path("<uuid:uuid>/agreed/", views.agreed, name="agreed"),
]
