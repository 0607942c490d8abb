"""Addresses of the calculators, under `prep`; who may open them stands in `reagents/access.py`."""

from django.urls import path

from reagents.pages.prep import calculators

urlpatterns = [
    path("", calculators.calculators, name="calculators"),
    path("mixture/", calculators.mixture, name="mixture"),
    path("solution/", calculators.solution, name="solution"),
    path("dilution/", calculators.dilution, name="dilution"),
    path("series/", calculators.series, name="series"),
]
