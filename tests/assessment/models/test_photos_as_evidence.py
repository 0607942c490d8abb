"""A photo counts as its learner's evidence; what was submitted keeps its digest, whatever comes later."""

from io import BytesIO

import pytest
from PIL import Image

from assessment.models.facts import facts_for
from assessment.models.frozen import frozen_evidence
from practicals.actions.add_photo import add_photo
from practicals.actions.withdraw_photo import withdraw_photo
from tests.assessment.handed_in import hand_in
from tests.factories import NOW, make_assignment


@pytest.fixture
def work(cast):
    return make_assignment(session=cast.session, signed_off_by=cast.verifier).works.get(learner=cast.learner)


def add(by, session, shade=200):
    made = BytesIO()
    Image.new("RGB", (640, 480), (shade, shade, 90)).save(made, "JPEG")
    paper = session.members.get(learner=by).group.papers.first()
    return add_photo(by=by, paper=paper, content=made.getvalue(), now=NOW)


def test_ones_own_standing_photos_count(cast, work):
    photo = add(cast.learner, cast.session)
    add(cast.learner, cast.session, 90)
    add(cast.group_mate, cast.session, 30)
    assert facts_for(work).photos == 2
    withdraw_photo(by=cast.learner, photo=photo, now=NOW)
    assert facts_for(work).photos == 1


def test_what_was_submitted_keeps_the_digest_of_a_photo_withdrawn_later(cast, work):
    photo = add(cast.learner, cast.session)
    add(cast.group_mate, cast.session, 30)
    submission = hand_in(work)
    withdraw_photo(by=cast.learner, photo=photo, now=NOW)
    frozen = frozen_evidence(submission)
    assert [paper.paper.photos for paper in frozen.papers] == [(photo.file.sha256,)]
    assert frozen.facts.photos == 1
    assert facts_for(work).photos == 0
