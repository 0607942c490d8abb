"""The paper that a group shares, and its lanes."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from practicals.models.people import User
from practicals.models.practical import Analyte
from practicals.models.session import Chamber, Group
from reagents.models import Kept, KeptQuerySet


class NoResult(models.TextChoices):
    NO_SPOT = "no spot", "no spot can be seen"
    FRONT_LOST = "front lost", "the solvent front was not marked or ran off the paper"
    ORIGIN_UNDER = "origin under the liquid", "the origin line was under the liquid"
    TORN = "torn", "the paper is torn or spoilt"
    LOST = "lost before measuring", "the paper was lost before it was measured"


class PaperQuerySet(KeptQuerySet):
    def for_bench(self) -> "PaperQuerySet":
        related = self.select_related("group__session__practical__mobile_phase", "chamber__batch")
        return related.prefetch_related("lanes__analyte", "lanes__applied_by")


class Paper(Kept):
    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="papers")
    letter = models.CharField(max_length=2)
    chamber = models.ForeignKey(
        Chamber, on_delete=models.PROTECT, null=True, blank=True, related_name="papers"
    )
    width_mm = models.DecimalField(max_digits=6, decimal_places=1)
    height_mm = models.DecimalField(max_digits=6, decimal_places=1)
    origin_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    no_result = models.CharField(max_length=30, choices=NoResult, blank=True)
    no_result_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    no_result_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = PaperQuerySet.as_manager()

    class Meta:
        ordering = ["group__number", "letter"]
        constraints = [
            models.UniqueConstraint(fields=["group", "letter"], name="paper_letter_once"),
            models.CheckConstraint(
                condition=Q(width_mm__gt=0) & Q(height_mm__gt=models.F("origin_height_mm")),
                name="paper_has_a_size",
            ),
        ]

    def __str__(self) -> str:
        return f"paper {self.letter} of {self.group}"


def shown_name(analyte: Analyte, code: str) -> str:
    """An unknown by its code; without one, as in sessions planned before there were any, by its name."""
    return f"Unknown {code}" if code else analyte.name


def shown_key(analyte: Analyte, code: str) -> str:
    return f"unknown-{code.lower()}" if code else analyte.key


class Lane(models.Model):
    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="lanes")
    number = models.PositiveSmallIntegerField()
    analyte = models.ForeignKey(Analyte, on_delete=models.PROTECT, related_name="+")
    # Kept here too, as it is pencilled on the paper itself: whatever shows a lane has it at hand.
    code = models.CharField(max_length=8, blank=True, help_text="the session's code of an unknown")
    applied_by = models.ForeignKey(User, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["paper", "number"], name="lane_number_once")]

    def __str__(self) -> str:
        return f"lane {self.number}: {self.shown_name}"

    @property
    def shown_name(self) -> str:
        """What stands in the lane as everybody may read it: an unknown by the session's code alone."""
        return shown_name(self.analyte, self.code)

    @property
    def shown_key(self) -> str:
        """The same as a key, for texts that learners' evidence is frozen in."""
        return shown_key(self.analyte, self.code)
