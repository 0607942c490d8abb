"""Addresses of this journey; who may open them stands in `reagents/access.py`."""

from django.urls import URLPattern

app_name = "prep"
urlpatterns: list[URLPattern] = []
