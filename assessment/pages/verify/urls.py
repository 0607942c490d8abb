"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.verify import documents, follow_up, views, whole_sample

app_name = "verify"
urlpatterns = [
    path("", views.plans, name="plans"),
    path("draw/", views.draw, name="draw"),
    path("plan/<uuid:uuid>/", views.plan, name="plan"),
    path("portfolio/<uuid:uuid>/", views.portfolio, name="portfolio"),
    path("portfolio/<uuid:uuid>/sign/", views.sign, name="sign"),
    path("portfolio/<uuid:uuid>/portfolio.pdf", documents.portfolio_pdf, name="portfolio_pdf"),
    path("portfolio/<uuid:uuid>/action/", follow_up.raise_one, name="raise"),
    path("portfolio/<uuid:uuid>/record.pdf", documents.record_pdf, name="record_pdf"),
    path("plan/<uuid:uuid>/widen/", whole_sample.widen, name="widen"),
    path("plan/<uuid:uuid>/sign-off/", whole_sample.sign_off, name="sign_off"),
    path("plan/<uuid:uuid>/report.pdf", documents.report_pdf, name="report_pdf"),
    path("actions/", follow_up.my_actions, name="my_actions"),
    path("actions/<uuid:uuid>/answer/", follow_up.answer, name="answer"),
    path("actions/<uuid:uuid>/", follow_up.action, name="action"),
    path("opinion/<uuid:uuid>/", follow_up.third_opinion, name="third_opinion"),
    path("check/", documents.check, name="check"),
]
