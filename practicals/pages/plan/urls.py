"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import path

from practicals.pages.plan import (
    group_views,
    lesson_staff,
    practical_views,
    reference_views,
    requisition_views,
    session_views,
    unknown_views,
    withdraw_views,
)

app_name = "plan"
urlpatterns = [
    path("practicals/", practical_views.practicals, name="practicals"),
    path("practicals/<uuid:uuid>/", practical_views.practical, name="practical"),
    path("practicals/<uuid:uuid>/edit/", practical_views.edit_practical, name="edit_practical"),
    path("practicals/<uuid:uuid>/published/", reference_views.published, name="published"),
    path("practicals/<uuid:uuid>/published/add/", reference_views.add_reference, name="add_reference"),
    path(
        "practicals/<uuid:uuid>/published/<uuid:value>/withdraw/",
        reference_views.withdraw_reference,
        name="withdraw_reference",
    ),
    path("sessions/", session_views.sessions, name="sessions"),
    path("sessions/new/", session_views.new_session, name="new_session"),
    path("sessions/<uuid:uuid>/", session_views.session, name="session"),
    path("sessions/<uuid:uuid>/edit/", session_views.edit_session, name="edit_session"),
    path("sessions/<uuid:uuid>/copy/", session_views.copy, name="copy"),
    path("sessions/<uuid:uuid>/start/", session_views.start, name="start"),
    path("sessions/<uuid:uuid>/withdraw/", withdraw_views.withdraw, name="withdraw"),
    path("sessions/<uuid:uuid>/unknowns/", unknown_views.unknowns, name="unknowns"),
    path("requisitions/<uuid:uuid>/key/", unknown_views.key, name="key"),
    path("sessions/<uuid:uuid>/groups/", group_views.groups, name="groups"),
    path("sessions/<uuid:uuid>/catch-up/", group_views.catch_up, name="catch_up"),
    path("sessions/<uuid:uuid>/slips/", group_views.slips, name="slips"),
    path("sessions/<uuid:uuid>/reissue/<uuid:learner>/", group_views.reissue, name="reissue"),
    path("lessons/<uuid:uuid>/staff/", lesson_staff.lesson_staff, name="lesson_staff"),
    path("sessions/<uuid:uuid>/requisition/", requisition_views.requisition, name="requisition"),
]
