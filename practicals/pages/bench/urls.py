"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import path

from practicals.pages.bench import front, measuring, photos, results, views

app_name = "bench"
urlpatterns = [
    path("", views.home, name="home"),
    path("session/<uuid:uuid>/", views.session, name="session"),
    path("session/<uuid:uuid>/results/", results.results, name="results"),
    path("paper/<uuid:uuid>/", views.paper, name="paper"),
    path("paper/<uuid:uuid>/readings/", measuring.readings, name="readings"),
    path("paper/<uuid:uuid>/lock/", views.lock, name="lock"),
    path("paper/<uuid:uuid>/amend/", measuring.amend, name="amend"),
    path("paper/<uuid:uuid>/photo/", photos.add, name="add_photo"),
    path("paper/<uuid:uuid>/front/", front.front, name="front"),
    path("photo/<uuid:uuid>/", photos.photo, name="photo"),
]
