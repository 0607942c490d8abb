"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.my_work import views

app_name = "my_work"
urlpatterns = [
    path("", views.works, name="works"),
    path("<uuid:uuid>/", views.work, name="work"),
    path("<uuid:uuid>/submit/", views.submit, name="submit"),
]
