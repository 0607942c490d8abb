"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.briefs import assignments, documents, units, views

app_name = "briefs"
urlpatterns = [
    path("", views.briefs, name="briefs"),
    path("new/", views.write, name="write_brief"),
    path("units/", units.listed, name="units"),
    path("units/new/", units.add, name="add_unit"),
    path("units/table/", units.take_in, name="import_unit"),
    path("units/type/", units.type_in, name="type_unit"),
    path("units/<uuid:uuid>/", units.show, name="unit"),
    path("assignments/new/", assignments.new, name="new_assignment"),
    path("assignments/<uuid:uuid>/issue/", assignments.issue, name="issue"),
    path("assignments/<uuid:uuid>/brief.pdf", documents.assignment_pdf, name="assignment_pdf"),
    path("mine/<uuid:uuid>/brief.pdf", documents.my_brief, name="my_brief"),
    path("<uuid:uuid>/brief.pdf", documents.brief_pdf, name="brief_pdf"),
    path("<uuid:uuid>/", views.brief, name="brief"),
    path("<uuid:uuid>/edit/", views.edit, name="edit_brief"),
    path("<uuid:uuid>/sign-off/", views.sign_off, name="sign_off"),
]
