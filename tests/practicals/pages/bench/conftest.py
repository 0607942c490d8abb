import pytest

from practicals.models import Paper


@pytest.fixture
def paper(cast) -> Paper:
    """The learner's own group's paper: lanes 1 to 3 standards, lane 4 an unknown."""
    return Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)


@pytest.fixture
def learner(cast, as_):
    return as_(cast.learner)
