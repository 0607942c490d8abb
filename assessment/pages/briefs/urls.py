"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import URLPattern

app_name = "briefs"
urlpatterns: list[URLPattern] = []
