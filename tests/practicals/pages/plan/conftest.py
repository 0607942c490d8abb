"""A shipped practical and the answers of a form that would plan a session."""

import uuid

import pytest
from django.utils import timezone

from practicals.actions.add_practical import add_practical
from practicals.calculations.practical_file import shipped_practicals


@pytest.fixture
def shipped(db):
    """Amino acids on paper, as it comes with the program."""
    return add_practical(by=None, text=shipped_practicals()["amino_acids_on_paper.toml"], now=timezone.now())


@pytest.fixture
def answers(cast, shipped):
    def make(**changed):
        return {
            "once": str(uuid.uuid4()),
            "practical": str(shipped.uuid),
            "teaching_class": str(cast.teaching_class.uuid),
            "group_size": "3",
            "unknowns": "same",
            "help_setting": "hint",
            "lesson0-day": "2030-12-03",
            "lesson0-start": "10:15",
            "lesson0-minutes": "90",
            "lesson0-room": "Lab 2",
            "lesson0-leader": str(cast.teacher.uuid),
            **changed,
        }

    return make
