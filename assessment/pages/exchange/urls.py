"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.exchange import views

app_name = "exchange"
urlpatterns = [
    path("<uuid:uuid>/results.csv", views.as_csv, name="csv"),
    path("<uuid:uuid>/results.xlsx", views.as_xlsx, name="xlsx"),
    path("<uuid:uuid>/results.zip", views.as_roster_results, name="roster_results"),
]
