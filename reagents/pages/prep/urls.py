"""Addresses of this journey; who may open them stands in `reagents/access.py`."""

from datetime import date

from django.urls import include, path, register_converter

from reagents.pages.prep import batches, label_sheets, labels, lists, ticks, ventilation


class PrepDay:
    """A day in an address: 2026-12-08."""

    regex = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        return date.fromisoformat(value)

    def to_url(self, value: date | str) -> str:
        return value if isinstance(value, str) else f"{value:%Y-%m-%d}"


register_converter(PrepDay, "prep_day")

app_name = "prep"
urlpatterns = [
    path("", lists.requisitions, name="requisitions"),
    path("requisition/<uuid:uuid>/", lists.requisition, name="requisition"),
    path("requisition/<uuid:uuid>/list.pdf", lists.requisition_pdf, name="requisition_pdf"),
    path("day/<prep_day:date>/", lists.day, name="day"),
    path("day/<prep_day:date>/list.pdf", lists.day_pdf, name="day_pdf"),
    path("week/<prep_day:date>/", lists.week, name="week"),
    path("week/<prep_day:date>/list.pdf", lists.week_pdf, name="week_pdf"),
    path("ticks/", ticks.tick, name="tick"),
    path("line/<uuid:uuid>/batch/", batches.record_batch, name="record_batch"),
    path("batch/<uuid:uuid>/", batches.batch, name="batch"),
    path("batch/<uuid:uuid>/recall/", batches.recall_batch, name="recall_batch"),
    path("ventilation/", ventilation.estimate, name="ventilation"),
    path("calculators/", include("reagents.pages.prep.calculator_urls")),
    path("batch/<uuid:uuid>/labels/", labels.labels, name="labels"),
    path("batch/<uuid:uuid>/labels.pdf", labels.labels_file, name="labels_pdf"),
    path("requisition/<uuid:uuid>/rack/", labels.rack_labels, name="rack_labels"),
    path("requisition/<uuid:uuid>/rack.pdf", labels.rack_labels_file, name="rack_labels_pdf"),
    path("labels/", label_sheets.label_sheets, name="label_sheets"),
    path("labels/new/", label_sheets.add_label_sheet, name="add_label_sheet"),
    path("labels/<uuid:uuid>/", label_sheets.label_sheet, name="label_sheet"),
    path("labels/<uuid:uuid>/withdraw/", label_sheets.withdraw_label_sheet, name="withdraw_label_sheet"),
    path("labels/<uuid:uuid>/frames.pdf", label_sheets.label_frames, name="label_frames"),
]
