import pytest
from django.urls import reverse

from assessment.models import Work
from tests.factories import make_assignment


@pytest.mark.parametrize("named", [None, "", "no session", "12345"])
def test_without_a_session_all_works_are_listed(cast, as_, named):
    make_assignment(session=cast.session)
    query = "" if named is None else f"?session={named}"
    assert as_(cast.learner).get(reverse("my_work:works") + query).status_code == 200


def test_a_session_s_page_leads_to_the_one_work_that_draws_on_it(cast, as_):
    work = Work.objects.get(assignment=make_assignment(session=cast.session), learner=cast.learner)
    answer = as_(cast.learner).get(reverse("my_work:works") + f"?session={cast.session.uuid}")
    assert answer["Location"] == reverse("my_work:work", args=[work.uuid])


def test_with_two_works_the_list_lets_one_choose(cast, as_):
    make_assignment(session=cast.session)
    make_assignment(session=cast.session)
    answer = as_(cast.learner).get(reverse("my_work:works") + f"?session={cast.session.uuid}")
    assert answer.status_code == 200


def test_somebody_else_s_session_leads_nowhere(cast, as_):
    make_assignment(session=cast.session)
    answer = as_(cast.stranger).get(reverse("my_work:works") + f"?session={cast.session.uuid}")
    assert answer.status_code == 200
