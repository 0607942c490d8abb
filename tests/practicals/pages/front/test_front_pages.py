import uuid

import pytest
from django.urls import reverse

from practicals.models import Development, FrontMark
from tests.factories import NOW, make_readings


@pytest.fixture
def send(as_, at, paper):
    def post(person, journey="bench", **data):
        address = reverse(f"{journey}:front", args=[paper.uuid])
        return as_(person).post(address, {"once": uuid.uuid4(), **data})

    return post


def height(text, **more):
    return {"do": "height", "height-height": text, "height-zero": "surface", **more}


def test_at_first_it_asks_when_the_paper_was_put_in_with_the_practicals_depth(cast, page):
    shown = page(cast.learner)
    assert 'name="in-immersed" value="8"' in shown
    assert "The paper is in the liquid" in shown
    assert "110 mm above the paper’s lower edge" in shown  # 120 less 10 [MET1]
    assert "Read the front" not in shown


def test_put_in_now_or_at_a_time_of_today(cast, paper, send, at):
    moment = at(7)
    send(cast.learner, do="put_in", **{"in-immersed": "8", "in-at": ""})
    assert Development.objects.get().started_at == moment
    send(cast.learner, do="put_in", **{"in-immersed": "8,5 mm", "in-at": "10:02"})
    kept = Development.objects.get()
    assert (f"{kept.started_at:%H:%M}", float(kept.immersed_mm)) == ("10:02", 8.5)


def test_a_height_from_the_lower_edge_is_kept_above_the_liquid(cast, paper, send, at, run_up):
    run_up(paper, {})
    at(30)
    send(cast.learner, **height("41.5", **{"height-zero": "edge", "height-at": "10:25"}))
    mark = FrontMark.objects.get()
    assert (f"{mark.height_mm.normalize():f}", f"{mark.at:%H:%M}") == ("33.5", "10:25")
    send(cast.group_mate, **height("4 cm"))
    assert float(FrontMark.objects.last().height_mm) == 40


def test_the_time_is_wide_at_first_and_renewed_from_three_heights(cast, paper, page, at, run_up):
    # 102 mm at 100 min: 11:40. From one height 20 % shorter to 80 % longer: 11:20 to 13:00.
    run_up(paper, {25: 51.0})
    at(26)
    assert "Take out at 11:40 (11:20 to 13:00), a wide guess" in page(cast.learner)


def test_three_heights_spread_over_the_run_narrow_the_time(cast, paper, page, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    at(65)
    shown = page(cast.learner)
    assert "Take out at 11:40 (11:" in shown
    assert "from the latest 3 heights" in shown
    assert "3 heights, from 40.8 mm after 16 min to 81.6 mm after 64 min" in shown


def test_it_never_tells_a_time_when_the_front_is_there_or_was_due(cast, paper, page, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    at(101)
    shown = page(cast.learner)
    assert "Look now" in shown
    assert "Take out at" not in shown
    run_up(paper, {102: 103})
    at(103)
    assert "Take the paper out now" in page(cast.learner)


def test_heights_that_do_not_follow_the_law_are_said_to(cast, paper, page, at, run_up):
    # Straight in time, as heights measured from the wrong place may look: exponent 1, not 0.5.
    run_up(paper, {10: 20, 20: 40, 30: 60})
    at(31)
    assert "slows less than the square-root law" in page(cast.learner)


@pytest.mark.parametrize(
    "text", ["", "abc", "-4", "0", "1e9", "999999999", "12,3,4", "5 kg", "NaN", "٣ x", "30 mm mm", "0.001"]
)
def test_a_height_that_is_none_is_said_so_and_stays_as_typed(cast, paper, send, at, run_up, text):
    run_up(paper, {})
    at(20)
    response = send(cast.learner, **height(text))
    assert response.status_code == 200
    shown = response.content.decode()
    assert "Nothing was kept" in shown
    assert not FrontMark.objects.exists()
    assert response.context["tracker"].height["height"].value() == text


@pytest.mark.parametrize(
    "text", ["half two", "25:00", "10:60", "-1:00", "1e9", "10:3O", "10:45", "09:59", "٠٩:٣٠", "10,5"]
)
def test_a_time_that_is_none_or_not_of_this_run_is_said_so(cast, paper, send, at, run_up, text):
    run_up(paper, {})
    at(20)
    response = send(cast.learner, **height("30", **{"height-at": text}))
    assert response.status_code == 200
    assert "Nothing was kept" in response.content.decode()
    assert not FrontMark.objects.exists()


@pytest.mark.parametrize("field", ["in-immersed", "in-at"])
@pytest.mark.parametrize("text", ["x", "-1", "1e9", "15 mm", "0"])
def test_a_depth_or_time_that_is_none_is_said_so(cast, paper, send, at, field, text):
    at(20)
    response = send(cast.learner, do="put_in", **({"in-immersed": "8", "in-at": ""} | {field: text}))
    assert response.status_code == 200
    assert "Nothing was kept" in response.content.decode()
    assert not Development.objects.exists()


def test_a_front_under_the_liquid_is_said_so(cast, paper, send, at, run_up):
    run_up(paper, {})
    at(20)
    shown = send(cast.learner, **height("5", **{"height-zero": "edge"})).content.decode()
    assert "would be under the liquid" in shown


@pytest.mark.parametrize("zero", ["", "origin", "x" * 5000])
def test_heights_from_elsewhere_are_not_taken(cast, paper, send, at, run_up, zero):
    run_up(paper, {})
    at(20)
    assert send(cast.learner, **height("30", **{"height-zero": zero})).status_code == 200
    assert not FrontMark.objects.exists()


@pytest.mark.parametrize(
    "data", [{}, {"do": "nothing"}, {"do": "back"}, {"do": "out"}, {"do": "height"}, {"do": "put_in"}]
)
def test_a_form_that_makes_no_sense_changes_nothing(cast, send, data):
    assert send(cast.learner, **data).status_code in {200, 302}
    assert not Development.objects.exists()


@pytest.mark.parametrize("mark", ["", "x", "5f0c6c0e-53a1-4a40-8a8e-1d2b3c4d5e6f"])
def test_a_height_that_is_not_of_this_paper_is_not_found(cast, paper, send, mark):
    assert send(cast.learner, do="withdraw", mark=mark).status_code == 404


def test_a_height_is_withdrawn_and_leaves_the_list(cast, paper, send, page, at, run_up):
    run_up(paper, {10: 32.1})
    at(11)
    mark = FrontMark.objects.get()
    assert "32.1 mm at 10:10" in page(cast.group_mate)
    send(cast.group_mate, do="withdraw", mark=mark.uuid)
    assert "32.1" not in page(cast.group_mate)
    mark.refresh_from_db()
    assert mark.withdrawn_at is not None


def test_out_and_back_in(cast, paper, send, page, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    at(99)
    send(cast.learner, do="out", **{"out-at": "11:38"})
    shown = page(cast.learner)
    assert "taken out at 11:38" in shown
    assert "Take out at" not in shown
    send(cast.learner, do="back")
    assert Development.objects.get().taken_out_at is None


def test_a_wrong_time_of_taking_out_is_said_so(cast, paper, send, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    at(70)
    for wrong in ("11:03", "12:30", "soon"):
        shown = send(cast.learner, do="out", **{"out-at": wrong}).content.decode()
        assert "Nothing was kept" in shown
    assert Development.objects.get().taken_out_at is None


def test_over_midnight_a_late_time_is_yesterdays(cast, paper, send, at):
    at(14 * 60 + 10)  # 00:10
    send(cast.learner, do="put_in", **{"in-immersed": "8", "in-at": "23:50"})
    kept = Development.objects.get()
    assert f"{kept.started_at:%d %H:%M}" == f"{NOW:%d} 23:50"
    send(cast.learner, **height("20", **{"height-at": "23:58"}))
    send(cast.learner, **height("30", **{"height-at": "00:08"}))
    assert FrontMark.objects.count() == 2


def test_who_leads_may_follow_too_and_sees_who_read(cast, paper, send, page, at, run_up):
    run_up(paper, {10: 32})
    at(20)
    send(cast.teacher, "board", **height("45"))
    shown = page(cast.teacher, "board")
    assert cast.learner.name in shown
    assert cast.teacher.name in shown


@pytest.mark.parametrize("who", ["rival", "stranger", "teacher"])
def test_the_bench_page_is_the_groups_alone(cast, as_, paper, at, send, who):
    person = getattr(cast, who)
    assert as_(person).get(reverse("bench:front", args=[paper.uuid])).status_code == 404
    assert send(person, do="put_in", **{"in-immersed": "8"}).status_code == 404
    assert not Development.objects.exists()


def test_a_paper_given_to_measure_is_not_ones_own_to_follow(cast, as_, paper, at):
    make_readings(paper, cast.rival, source="another group's paper")
    assert as_(cast.rival).get(reverse("bench:paper", args=[paper.uuid])).status_code == 200
    assert as_(cast.rival).get(reverse("bench:front", args=[paper.uuid])).status_code == 404


def test_a_closed_session_shows_and_no_longer_changes(cast, paper, page, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    cast.session.readings_locked_at = cast.session.closed_at = at(70)
    cast.session.save()
    shown = page(cast.teacher, "board")
    assert "81.6" in shown
    assert "<button" not in shown.split("<main")[1].split("</main>")[0]


def test_a_paper_too_short_for_its_liquid_gets_a_sentence(cast, paper, page, at, run_up):
    paper.height_mm, paper.origin_height_mm = 17, 9
    paper.save()
    run_up(paper, {5: 4})
    at(6)
    assert "ends too near the liquid" in page(cast.learner)
