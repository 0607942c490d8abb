"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import URLPattern

app_name = "people"
urlpatterns: list[URLPattern] = []
