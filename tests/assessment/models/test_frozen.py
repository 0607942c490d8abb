"""Reading a submission back takes one query, however much it holds."""

import pytest

from assessment.models import Submission
from assessment.models.frozen import frozen_evidence, frozen_facts, frozen_papers, integrity
from tests.assessment.handed_in import hand_in, issued, work_of


@pytest.fixture
def submission(cast):
    return Submission.objects.get(pk=hand_in(work_of(issued(cast), cast.learner)).pk)


def test_everything_is_read_in_one_query(submission, django_assert_num_queries):
    with django_assert_num_queries(1):
        papers = frozen_papers(submission)
    paper, entry, review = papers[0]
    assert paper.label == "Group 1, paper A"
    assert entry.front_mm == 95
    assert [str(spot.rounded_rf) for spot in review.spots] == ["0.25", "0.38", "0.75", "0.74"]


def test_prefetched_parts_take_no_query(submission, django_assert_num_queries):
    found = Submission.objects.prefetch_related("parts").get(pk=submission.pk)
    with django_assert_num_queries(0):
        assert integrity(found).sound
        assert frozen_evidence(found).facts.papers_begun == 1


def test_a_learners_drawing_marks_nothing_as_doubtful(submission):
    part = submission.parts.get(name="readings-1")
    part.text = part.text.replace('"centre_mm":"35"', '"centre_mm":"112"')
    part.save()
    found = frozen_papers(Submission.objects.get(pk=submission.pk))[0]
    assert any(spot.doubtful for spot in found.drawing.spots)
    assert not any(spot.doubtful for spot in found.plain_drawing.spots)


def test_facts_of_many_come_in_one_query(cast, submission, django_assert_num_queries):
    other = hand_in(work_of(submission.work.assignment, cast.rival))
    with django_assert_num_queries(1):
        found = frozen_facts([submission, other])
    assert found[submission.pk].conclusion_words == found[other.pk].conclusion_words == 4


def test_a_part_that_was_slipped_in_is_noticed(submission):
    submission.parts.create(name="readings-2", media_type="application/json", text="{}", sha256="0" * 64)
    states = {check.part: check.state for check in integrity(submission).parts}
    assert states["readings-2"] == "not in the manifest"
    assert not integrity(submission).sound
