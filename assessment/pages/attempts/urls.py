"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.attempts import files, policy, views

app_name = "attempts"
urlpatterns = [
    path("work/<uuid:uuid>/extension/", views.extension, name="extension"),
    path("submission/<uuid:uuid>/ask/", views.ask, name="ask"),
    path("requests/", views.requests, name="requests"),
    path("requests/<uuid:uuid>/", views.answer, name="answer"),
    path("requests/<uuid:uuid>/refuse/", views.refuse, name="refuse"),
    path("work/<uuid:uuid>/attach/", files.attach, name="attach"),
    path("file/<uuid:uuid>/", files.attachment, name="attachment"),
    path("file/<uuid:uuid>/withdraw/", files.withdraw, name="withdraw_attachment"),
    path("policy/", policy.policy, name="policy"),
    path("policy/edit/", policy.edit_policy, name="edit_policy"),
    path("calendar/", policy.calendar, name="calendar"),
    path("calendar/<uuid:uuid>/withdraw/", policy.withdraw_day, name="withdraw_day"),
]
