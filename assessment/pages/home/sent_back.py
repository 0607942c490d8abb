"""Briefs that somebody looked at and sent back to their author."""

from collections.abc import Iterator
from typing import Any

from django.urls import reverse

from assessment.models import waiting
from practicals.models import User


def to_change(user: User) -> Iterator[tuple[Any, ...]]:
    """As cells of a row: text, address, when it was written, state in words, its shape."""
    for brief in waiting.briefs_to_change(user):
        address = reverse("briefs:brief", args=[brief.uuid])
        yield str(brief), address, brief.written_at, "changes wanted", "doubt"
