"""Sheets of labels, told by rows, columns and millimetres."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from reagents.models.kept import Kept, KeptQuerySet, Versioned

# A hundredth of slack: SQLite adds these up as binary floats.
A4_WIDTH_MM, A4_HEIGHT_MM = 210.01, 297.01


class LabelSheetQuerySet(KeptQuerySet):
    def in_use(self) -> "LabelSheetQuerySet":
        return self.filter(withdrawn_at=None)


class LabelSheet(Kept, Versioned):
    """An A4 sheet of equal labels. The pitch is from the left (top) edge of one label to the next."""

    name = models.CharField(max_length=80)
    rows = models.PositiveSmallIntegerField()
    columns = models.PositiveSmallIntegerField()
    width_mm = models.DecimalField(max_digits=5, decimal_places=2)
    height_mm = models.DecimalField(max_digits=5, decimal_places=2)
    left_mm = models.DecimalField(max_digits=5, decimal_places=2)
    top_mm = models.DecimalField(max_digits=5, decimal_places=2)
    pitch_across_mm = models.DecimalField(max_digits=5, decimal_places=2)
    pitch_down_mm = models.DecimalField(max_digits=5, decimal_places=2)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = LabelSheetQuerySet.as_manager()

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(rows__gte=1) & Q(columns__gte=1) & Q(width_mm__gt=0) & Q(height_mm__gt=0),
                name="label_sheet_has_labels",
            ),
            models.CheckConstraint(
                condition=Q(pitch_across_mm__gte=F("width_mm")) & Q(pitch_down_mm__gte=F("height_mm")),
                name="label_sheet_labels_do_not_overlap",
            ),
            models.CheckConstraint(
                condition=Q(left_mm__gte=0)
                & Q(top_mm__gte=0)
                & Q(left_mm__lte=A4_WIDTH_MM - F("width_mm") - (F("columns") - 1) * F("pitch_across_mm"))
                & Q(top_mm__lte=A4_HEIGHT_MM - F("height_mm") - (F("rows") - 1) * F("pitch_down_mm")),
                name="label_sheet_fits_a4",
            ),
        ]

    def __str__(self) -> str:
        return self.name
