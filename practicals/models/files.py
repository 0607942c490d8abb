"""Uploaded and issued files: on disk under their SHA-256, one row each, served only through the gate."""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

from practicals.models.paper import Paper
from practicals.models.people import User
from reagents.models import Kept, KeptQuerySet


class StoredFile(Kept):
    """The bytes lie on disk before this row does; equal bytes share one row."""

    sha256 = models.CharField(max_length=64, unique=True)
    media_type = models.CharField(max_length=60)
    size = models.PositiveBigIntegerField()
    added_at = models.DateTimeField()
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(size__gt=0), name="stored_file_not_empty")]

    def __str__(self) -> str:
        return self.sha256[:12]

    @property
    def place(self) -> str:
        """Where the storage has it."""
        return f"{self.sha256[:2]}/{self.sha256}"


class PaperPhotoQuerySet(KeptQuerySet):
    def standing(self) -> "PaperPhotoQuerySet":
        return self.filter(withdrawn_at=None).select_related("file")


class PaperPhoto(Kept):
    """A learner's photo of the paper they measured."""

    paper = models.ForeignKey(Paper, on_delete=models.PROTECT, related_name="photos")
    learner = models.ForeignKey(User, on_delete=models.PROTECT, related_name="paper_photos")
    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="+")
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects: ClassVar[Any] = PaperPhotoQuerySet.as_manager()

    class Meta:
        ordering = ["added_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["paper", "learner", "file"], name="same_photo_kept_once")
        ]

    def __str__(self) -> str:
        return f"photo of {self.paper}"
