"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import URLPattern

app_name = "board"
urlpatterns: list[URLPattern] = []
