"""Addresses of this journey; who may open them stands in `practicals/access.py`."""

from django.urls import path

from practicals.pages.people import (
    accounts,
    around,
    centre,
    class_teachers,
    classes,
    erasing,
    roster,
    sign_in,
)

app_name = "people"
urlpatterns = [
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    # Short, since it stands in the QR code of every slip.
    path("b/", sign_in.bench_sign_in, name="bench_sign_in"),
    path("passphrase/", sign_in.passphrase, name="passphrase"),
    path("password/", sign_in.password, name="password"),
    path("accounts/", accounts.accounts, name="accounts"),
    path("accounts/new/", accounts.new_account, name="new_account"),
    path("accounts/<uuid:uuid>/", accounts.account, name="account"),
    path("accounts/<uuid:uuid>/erase/", erasing.erase, name="erase"),
    path("classes/", classes.classes, name="classes"),
    path("classes/import/", classes.import_list, name="import_class"),
    path("classes/roster/", roster.import_roster_page, name="import_roster"),
    path("classes/<uuid:uuid>/", classes.class_, name="class"),
    path("classes/<uuid:uuid>/teachers/", class_teachers.class_teachers, name="class_teachers"),
    path("centre/", centre.centre, name="centre"),
    path("audit/", centre.audit, name="audit"),
    path("accessibility/", around.statement, name="statement"),
    path("theme/", around.theme, name="theme"),
    path("health/", around.health, name="health"),
]
