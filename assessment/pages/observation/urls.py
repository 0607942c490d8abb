"""Addresses of this journey; who may open them stands in `assessment/access.py`."""

from django.urls import path

from assessment.pages.observation import documents, records, witnesses

app_name = "observation"
urlpatterns = [
    path("session/<uuid:uuid>/", records.session, name="session"),
    path("session/<uuid:uuid>/<uuid:learner>/", records.record, name="record"),
    path("session/<uuid:uuid>/<uuid:learner>/ask/", witnesses.ask, name="ask"),
    path("record/<uuid:uuid>/", records.mine, name="mine"),
    path("record/<uuid:uuid>/withdraw/", records.withdraw, name="withdraw"),
    path("record/<uuid:uuid>/pdf/", documents.record_pdf, name="record_pdf"),
    path("statement/<uuid:uuid>/", witnesses.statement, name="statement"),
    path("statement/<uuid:uuid>/answer/", witnesses.answer, name="answer"),
    path("statement/<uuid:uuid>/withdraw/", witnesses.withdraw, name="withdraw_statement"),
    path("statement/<uuid:uuid>/pdf/", documents.statement_pdf, name="statement_pdf"),
]
