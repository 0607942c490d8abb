"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.verify import documents, views

app_name = "verify"
urlpatterns = [
    path("", views.plans, name="plans"),
    path("draw/", views.draw, name="draw"),
    path("plan/<uuid:uuid>/", views.plan, name="plan"),
    path("portfolio/<uuid:uuid>/", views.portfolio, name="portfolio"),
    path("portfolio/<uuid:uuid>/sign/", views.sign, name="sign"),
    path("portfolio/<uuid:uuid>/portfolio.pdf", documents.portfolio_pdf, name="portfolio_pdf"),
    path("check/", documents.check, name="check"),
]
