"""The page after sign-in; who may open it stands in `practicals/access.py`."""

from django.urls import path

from assessment.pages.home import views

app_name = "home"
urlpatterns = [path("", views.home, name="home")]
