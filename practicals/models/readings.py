"""What one learner measured on one paper. The paper is shared, the readings are personal."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from practicals.calculations.entry import WIDEST_JUDGED_MM
from practicals.models.paper import Lane, NoResult, Paper
from practicals.models.people import User
from practicals.models.practical import Analyte
from practicals.models.session import Session
from reagents.models import Kept, KeptQuerySet, Versioned

#: Nothing that a learner reads with a ruler lies outside these bounds; the form says so first.
SMALLEST_MM, LARGEST_MM = -1000, 2000
#: Enough for "pale purple, yellow at its edge".
LONGEST_COLOUR = 40


def within_reach(field: str) -> Q:
    return Q(**{f"{field}__gte": SMALLEST_MM, f"{field}__lte": LARGEST_MM})


def spots_with_names() -> "models.Prefetch[str]":
    """The spots of each lane with the standard they were taken for, in one query."""
    return models.Prefetch("lanes__spots", SpotReading.objects.select_related("identified_as"))


class ReadingSetQuerySet(KeptQuerySet):
    def whole(self) -> "ReadingSetQuerySet":
        """With lanes, spots and all that recomputing needs, in a fixed number of queries."""
        return self.select_related(
            "learner", "paper__group__session__practical", "paper__chamber__batch"
        ).prefetch_related("lanes__lane__analyte", spots_with_names(), "amendments__by")


class ReadingSet(Kept, Versioned):
    class Source(models.TextChoices):
        OWN = "own group's paper", "own group's paper"
        OTHER = "another group's paper", "another group's paper"
        PHOTO = "a photo of a paper", "a photo of a paper"
        SUPPLIED = "supplied data", "supplied data"

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="reading_sets")
    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="reading_sets")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="reading_sets")
    source = models.CharField(max_length=30, choices=Source, default=Source.OWN)
    unit = models.CharField(max_length=2, choices=[("mm", "mm"), ("cm", "cm")], default="mm")
    origin_mm = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    front_mm = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    no_result = models.CharField(max_length=30, choices=NoResult, blank=True)
    saved_at = models.DateTimeField()
    locked_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = ReadingSetQuerySet.as_manager()

    class Meta:
        ordering = ["learner__sort_name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["paper", "learner"], name="one_set_per_learner_and_paper"),
            models.CheckConstraint(
                condition=Q(origin_mm=None) | within_reach("origin_mm"), name="reading_origin_within_reach"
            ),
            models.CheckConstraint(
                condition=Q(front_mm=None) | within_reach("front_mm"), name="reading_front_within_reach"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.learner} on {self.paper}"


class LaneReading(models.Model):
    reading_set = models.ForeignKey(ReadingSet, on_delete=models.PROTECT, related_name="lanes")
    lane = models.ForeignKey(Lane, on_delete=models.PROTECT, related_name="+")
    front_mm = models.DecimalField(
        max_digits=9, decimal_places=3, null=True, blank=True, help_text="where it differs from the paper's"
    )
    no_result = models.CharField(max_length=30, choices=NoResult, blank=True)

    class Meta:
        ordering = ["lane__number"]
        constraints = [
            models.UniqueConstraint(fields=["reading_set", "lane"], name="lane_read_once"),
            models.CheckConstraint(
                condition=Q(front_mm=None) | within_reach("front_mm"), name="lane_front_within_reach"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lane} of {self.reading_set}"


class SpotReading(models.Model):
    """A spot: its centre, or both edges with the centre between them; and the learner's own Rf as typed.

    In the lane of an unknown also what it was taken for. How well the centre could be judged, and the colour,
    stand where the learner stated them.
    """

    lane_reading = models.ForeignKey(LaneReading, on_delete=models.PROTECT, related_name="spots")
    number = models.PositiveSmallIntegerField()
    centre_mm = models.DecimalField(max_digits=9, decimal_places=3)
    leading_mm = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    trailing_mm = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    own_rf = models.CharField(max_length=20, blank=True)
    identified_as = models.ForeignKey(
        Analyte, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    cannot_tell = models.BooleanField(default=False)
    judged_to_mm = models.DecimalField(
        max_digits=9,
        decimal_places=3,
        null=True,
        blank=True,
        help_text="half-width: the centre is judged to lie within plus or minus this",
    )
    colour = models.CharField(max_length=LONGEST_COLOUR, blank=True, help_text="as seen, in words")

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["lane_reading", "number"], name="spot_number_once"),
            models.CheckConstraint(condition=within_reach("centre_mm"), name="spot_within_reach"),
            models.CheckConstraint(
                condition=Q(leading_mm=None, trailing_mm=None)
                | Q(leading_mm__isnull=False, trailing_mm__isnull=False),
                name="spot_has_both_edges_or_none",
            ),
            models.CheckConstraint(
                condition=Q(identified_as=None) | Q(cannot_tell=False), name="spot_named_or_cannot_be_told"
            ),
            models.CheckConstraint(
                condition=Q(judged_to_mm=None) | Q(judged_to_mm__gt=0, judged_to_mm__lte=WIDEST_JUDGED_MM),
                name="spot_half_width_plausible",
            ),
        ]

    def __str__(self) -> str:
        return f"spot {self.number} of {self.lane_reading}"


class Amendment(Kept):
    """A change after the readings were locked: what stood before stays readable."""

    reading_set = models.ForeignKey(ReadingSet, on_delete=models.PROTECT, related_name="amendments")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    reason = models.TextField()
    before = models.TextField(help_text="the readings as canonical text")
    after = models.TextField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="amendment_has_a_reason")]

    def __str__(self) -> str:
        return f"amendment of {self.reading_set}"


class HelpGiven(Kept):
    """Help, by the program or a person. It is part of the evidence."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="help_given")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="help_received")
    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    by = models.ForeignKey(
        User,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text="empty: the program",
    )
    at = models.DateTimeField()
    text = models.TextField()
    about = models.CharField(max_length=120, blank=True, help_text="so that the same help is recorded once")

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["session", "learner", "about"],
                condition=~Q(about=""),
                name="same_program_help_recorded_once",
            )
        ]

    def __str__(self) -> str:
        return self.text


class BenchNote(Kept):
    """A time-stamped note from the bench, by whoever led or supported the lesson."""

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="bench_notes")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="bench_notes")
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    text = models.CharField(max_length=500)

    class Meta:
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return self.text
