"""A learner enters readings: kept as read, refused with a sentence, never lost."""

import threading
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone

from practicals.models import AuditEntry, HelpGiven, ReadingSet, Session
from tests.factories import make_paper, make_practical, make_session
from tests.practicals.pages.bench.sending import save, send, set_of, url, value_of

WHOLE = {
    "origin": "15",
    "front": "95",
    "l1_s1_centre": "35",
    "l1_s1_own_rf": "0.25",
    "l2_s1_centre": "45",
    "l3_s1_centre": "75",
    "l4_s1_centre": "74",
    "l4_s1_is": "leucine",
}


def test_the_page_shows_each_lane_and_no_identity_of_an_unknown(learner, paper):
    html = learner.get(url("readings", paper)).content.decode()
    assert "Lane 1, glycine" in html
    assert "Lane 4, unknown X" in html
    assert "contains" not in html
    assert "Gloves off, or clean" in html


def test_readings_are_kept_and_come_back_into_the_fields(learner, cast, paper):
    assert save(learner, paper, **WHOLE).status_code == 302
    kept = set_of(paper, cast.learner)
    assert (kept.origin_mm, kept.front_mm, kept.session) == (Decimal(15), Decimal(95), cast.session)
    assert [lane.lane.number for lane in kept.lanes.all()] == [1, 2, 3, 4]
    assert kept.lanes.last().spots.get().identified_as.key == "leucine"
    html = learner.get(url("readings", paper)).content.decode()
    assert [value_of(html, name) for name in ("origin", "l1_s1_centre", "l1_s1_own_rf")] == [
        "15",
        "35",
        "0.25",
    ]


def test_a_draft_with_almost_nothing_is_kept(learner, cast, paper):
    assert save(learner, paper, origin="15").status_code == 302
    assert set_of(paper, cast.learner).front_mm is None


@pytest.mark.parametrize(
    ("unit", "typed", "millimetres"),
    [
        ("mm", "34,5", "34.5"),
        ("mm", "3.45 cm", "34.5"),
        ("mm", "\u00a034.5\u202fmm ", "34.5"),
        ("cm", "3.45", "34.5"),
        ("cm", "34.5 mm", "34.5"),
        ("cm", "3,45cm", "34.5"),
        ("mm", "-3", "-3"),
    ],
)
def test_what_a_person_types_or_pastes_is_read(learner, cast, paper, unit, typed, millimetres):
    assert save(learner, paper, unit=unit, front=typed).status_code == 302
    assert set_of(paper, cast.learner).front_mm == Decimal(millimetres)


def test_the_fields_come_back_in_the_learners_unit(learner, paper):
    save(learner, paper, unit="cm", front="9.5", l1_s1_centre="3.45")
    html = learner.get(url("readings", paper)).content.decode()
    assert (value_of(html, "front"), value_of(html, "l1_s1_centre")) == ("9.5", "3.45")


LENGTHS = ["origin", "front", "l1_front", "l1_s1_centre", "l1_s1_leading", "l4_s2_trailing"]
NOT_LENGTHS = [
    "abc",
    "5 g",
    "1e9",
    "1e999",
    "NaN",
    "inf",
    "12 34",
    "1,000",
    "--3",
    "1.23456",
    "9" * 10_000,
    "<b>",
]


@pytest.mark.parametrize("name", LENGTHS)
@pytest.mark.parametrize("typed", NOT_LENGTHS, ids=lambda text: text[:8])
def test_what_is_no_length_is_refused_beside_its_field_and_everything_is_kept(learner, paper, name, typed):
    fields = {"front": "95", "origin": "15", name: typed}
    answer = save(learner, paper, **fields)
    html = answer.content.decode()
    assert answer.status_code == 200
    assert f'id="id_{name}_error"' in html
    assert value_of(html, name) == typed.replace("<", "&lt;").replace(">", "&gt;")
    assert value_of(html, "front" if name != "front" else "origin") in {"95", "15"}
    assert not ReadingSet.objects.filter(paper=paper).exists()


@pytest.mark.parametrize(
    "typed", ["abc", "0.4 mm", "NaN", "1e999", "0.4.2", "7" * 10_000], ids=lambda t: t[:8]
)
def test_an_own_rf_that_is_no_number_is_refused_and_kept_in_the_field(learner, paper, typed):
    answer = save(learner, paper, l1_s1_centre="35", l1_s1_own_rf=typed)
    html = answer.content.decode()
    assert (answer.status_code, value_of(html, "l1_s1_own_rf")) == (200, typed)
    assert 'id="id_l1_s1_own_rf_error"' in html


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("unit", "inch"),
        ("no_result", "bored"),
        ("l2_no_result", "x" * 10_000),
        ("l4_s1_is", "tryptophan"),
        ("unit", ""),
    ],
)
def test_a_choice_that_is_not_offered_is_refused(learner, paper, name, typed):
    answer = save(learner, paper, **{"origin": "15", name: typed})
    assert answer.status_code == 200
    assert value_of(answer.content.decode(), "origin") == "15"
    assert not ReadingSet.objects.filter(paper=paper).exists()


def test_a_lane_that_the_paper_has_not_is_refused_with_its_lanes(learner, paper):
    answer = save(learner, paper, origin="15", l9_s1_centre="30")
    assert "This paper has no lane 9; its lanes are 1 to 4." in answer.content.decode()
    assert not ReadingSet.objects.filter(paper=paper).exists()


def test_more_spots_than_a_lane_holds_are_refused(learner, paper):
    answer = save(learner, paper, l1_s9_centre="30")
    assert "at most 4 spots" in answer.content.decode()


def test_one_edge_alone_is_asked_for_the_other(learner, paper):
    answer = save(learner, paper, l1_s1_leading="36")
    assert 'id="id_l1_s1_trailing_error"' in answer.content.decode()


def test_an_rf_without_a_place_is_asked_for_the_place(learner, paper):
    answer = save(learner, paper, l1_s1_own_rf="0.25")
    assert 'id="id_l1_s1_centre_error"' in answer.content.decode()


def test_edges_are_kept_and_the_centre_lies_between_them(learner, cast, paper):
    save(learner, paper, l1_s1_leading="36", l1_s1_trailing="33")
    (spot,) = set_of(paper, cast.learner).lanes.first().spots.all()
    assert (spot.centre_mm, spot.leading_mm, spot.trailing_mm) == (Decimal("34.5"), Decimal(36), Decimal(33))
    html = learner.get(url("readings", paper)).content.decode()
    assert (value_of(html, "l1_s1_centre"), value_of(html, "l1_s1_leading")) == ("", "36")


def test_a_correction_takes_the_place_of_what_stood_there(learner, cast, paper):
    save(learner, paper, l1_s1_centre="35", l2_s1_centre="45")
    save(learner, paper, l1_s1_centre="36")
    lanes = set_of(paper, cast.learner).lanes.all()
    assert [(lane.lane.number, lane.spots.get().centre_mm) for lane in lanes] == [(1, Decimal(36))]


def test_another_spot_saves_the_draft_and_adds_a_row(learner, cast, paper):
    answer = save(learner, paper, l4_s1_centre="30", more="4")
    assert set_of(paper, cast.learner).lanes.get().spots.count() == 1
    html = learner.get(answer.url).content.decode()
    assert 'name="l4_s2_centre"' in html
    assert 'name="l4_s3_centre"' not in html


def test_another_spot_keeps_what_cannot_be_saved_yet(learner, paper):
    html = save(learner, paper, l4_s1_centre="x", more="4").content.decode()
    assert value_of(html, "l4_s1_centre") == "x"
    assert 'name="l4_s2_centre"' in html


def test_no_lane_grows_beyond_four_spots(learner, paper):
    save(learner, paper, **{f"l4_s{n}_centre": str(20 + 9 * n) for n in (1, 2, 3, 4)})
    html = learner.get(url("readings", paper) + "?more=4").content.decode()
    assert 'name="l4_s4_centre"' in html
    assert 'name="l4_s5_centre"' not in html
    assert "add another spot to lane 4" not in html


@pytest.mark.parametrize("more", ["x", "99", "-1", "²", "1" * 5000])
def test_a_strange_address_does_no_harm(learner, paper, more):
    assert learner.get(url("readings", paper), {"more": more}).status_code == 200


def test_no_result_of_a_lane_and_of_the_paper_is_kept(learner, cast, paper):
    save(learner, paper, no_result="front lost", l2_no_result="no spot")
    kept = set_of(paper, cast.learner)
    assert (kept.no_result, kept.lanes.get().no_result) == ("front lost", "no spot")


def test_cannot_be_told_apart_is_an_answer(learner, cast, paper):
    save(learner, paper, l4_s1_centre="30", l4_s1_is="?")
    spot = set_of(paper, cast.learner).lanes.get().spots.get()
    assert (spot.cannot_tell, spot.identified_as) == (True, None)


def test_each_spot_of_an_unknown_has_a_name_of_its_own(learner, cast, paper):
    save(learner, paper, l4_s1_centre="35", l4_s1_is="glycine", l4_s2_centre="75", l4_s2_is="leucine")
    spots = set_of(paper, cast.learner).lanes.get().spots.all()
    assert [spot.identified_as.key for spot in spots] == ["glycine", "leucine"]
    html = learner.get(url("readings", paper)).content.decode()
    assert html.count('<option value="glycine" selected>') == 1
    assert html.count('<option value="leucine" selected>') == 1
    assert "What is spot 2?" in html
    assert 'name="l1_s1_is"' not in html


def test_a_name_without_a_place_is_asked_for_the_place(learner, paper):
    html = save(learner, paper, l4_s1_is="leucine").content.decode()
    assert 'id="id_l4_s1_centre_error"' in html
    assert "an answer to what it is, but no place" in html
    assert '<option value="leucine" selected>' in html


def test_the_same_name_twice_in_a_lane_is_kept_and_pointed_at(learner, cast, paper):
    Session.objects.filter(pk=paper.group.session_id).update(help_setting="explanation")
    two = {"l4_s1_centre": "35", "l4_s1_is": "leucine", "l4_s2_centre": "75", "l4_s2_is": "leucine"}
    assert save(learner, paper, origin="15", front="95", **two).status_code == 302
    assert set_of(paper, cast.learner).lanes.get().spots.count() == 2
    html = learner.get(url("readings", paper)).content.decode()
    assert "Lane 4: spots 1 and 2 are both taken for leucine." in html


def test_a_front_of_its_own_is_kept_for_the_lane(learner, cast, paper):
    save(learner, paper, front="95", l2_front="91")
    (lane,) = set_of(paper, cast.learner).lanes.all()
    assert lane.front_mm == Decimal(91)


def test_impossible_geometry_is_kept(learner, cast, paper):
    assert save(learner, paper, origin="15", front="95", l1_s1_centre="110").status_code == 302
    assert set_of(paper, cast.learner).lanes.get().spots.get().centre_mm == Decimal(110)


# -- help -------------------------------------------------------------------------------------------

BEYOND = {"origin": "15", "front": "95", "l1_s1_centre": "110", "l2_s1_centre": "45", "l2_s1_own_rf": "2.67"}


def shown_with(setting, learner, paper):
    Session.objects.filter(pk=paper.group.session_id).update(help_setting=setting)
    save(learner, paper, **BEYOND)
    return learner.get(url("readings", paper)).content.decode()


def test_with_nothing_set_nothing_is_told_or_marked_or_recorded(learner, paper):
    html = shown_with("nothing", learner, paper)
    assert "Worth another look" not in html
    assert "doubtful" not in html
    assert not HelpGiven.objects.exists()


@pytest.mark.parametrize(
    ("setting", "told", "withheld"),
    [
        ("something", "Something is off: lane 1, spot 1.", "Can a spot run further"),
        ("hint", "Can a spot run further than the mobile phase?", "is beyond the solvent front"),
        ("explanation", "the centre (110 mm) is beyond the solvent front (95 mm)", "Can a spot run further"),
    ],
)
def test_a_doubt_is_told_as_far_as_the_setting_goes(learner, paper, setting, told, withheld):
    html = shown_with(setting, learner, paper)
    assert told in html
    assert withheld not in html
    assert 'href="#remark-1-1"' in html
    assert 'id="remark-1-1"' in html


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        ("something", "Something is off: lane 2, spot 1."),
        ("hint", "Which of your two distances must be the larger"),
        ("explanation", "One slip explains this: inverted."),
    ],
)
def test_an_own_rf_that_differs_is_told_but_never_the_right_value(learner, paper, setting, told):
    # (45 - 15) / (95 - 15) = 0.375, stated upside down as 2.67.
    html = shown_with(setting, learner, paper)
    assert told in html
    assert "0.37" not in html
    assert "0.38" not in html


def test_help_is_recorded_once_with_what_it_said(learner, cast, paper):
    shown_with("explanation", learner, paper)
    learner.get(url("readings", paper))
    texts = list(
        HelpGiven.objects.filter(learner=cast.learner, paper=paper, by=None).values_list("text", flat=True)
    )
    assert len(texts) == len(set(texts)) == 2
    assert any("beyond the solvent front" in text for text in texts)
    assert AuditEntry.objects.filter(action="record_shown_help", actor=None).count() == 1


def test_other_help_after_a_correction_is_recorded_as_well(learner, paper):
    shown_with("explanation", learner, paper)
    before = HelpGiven.objects.count()
    save(learner, paper, **{**BEYOND, "l1_s1_centre": "111"})
    learner.get(url("readings", paper))
    assert HelpGiven.objects.count() == before + 1


# -- once, two tabs, others -------------------------------------------------------------------------


def test_a_second_sending_of_the_same_form_changes_nothing(learner, cast, paper):
    once = str(uuid4())
    first = save(learner, paper, once=once, version="", **WHOLE)
    second = save(learner, paper, once=once, version="", **WHOLE)
    assert first.url == second.url
    assert set_of(paper, cast.learner).version == 1


def test_a_stale_tab_shows_what_was_typed_and_what_is_saved(learner, cast, paper):
    save(learner, paper, version="", front="95")
    answer = save(learner, paper, version="", front="85")
    html = answer.content.decode()
    assert answer.status_code == 200
    assert value_of(html, "front") == "85"
    assert "<td>85</td><td>95</td>" in html
    assert set_of(paper, cast.learner).front_mm == Decimal(95)


def test_after_the_comparison_the_same_form_may_be_saved(learner, cast, paper):
    save(learner, paper, version="", front="95")
    html = save(learner, paper, version="", front="85").content.decode()
    assert save(learner, paper, version=value_of(html, "version"), front="85").status_code == 302
    assert set_of(paper, cast.learner).front_mm == Decimal(85)


def test_a_wrong_figure_first_does_not_pass_by_the_comparison(learner, cast, paper):
    save(learner, paper, version="", front="95")
    html = save(learner, paper, version="", front="x").content.decode()
    assert value_of(html, "version") == ""
    assert save(learner, paper, version="", front="85").status_code == 200
    assert set_of(paper, cast.learner).front_mm == Decimal(95)


@pytest.mark.parametrize("version", ["x", "-1", "99", "1" * 5000, "²"])
def test_a_strange_version_counts_as_stale(learner, cast, paper, version):
    save(learner, paper, version="", front="95")
    assert save(learner, paper, version=version, front="85").status_code == 200
    assert set_of(paper, cast.learner).front_mm == Decimal(95)


def test_group_mates_share_the_paper_but_not_the_readings(learner, cast, paper, as_):
    save(learner, paper, front="93.7")
    mate = as_(cast.group_mate)
    assert "93.7" not in mate.get(url("readings", paper)).content.decode()
    save(mate, paper, front="88")
    assert set_of(paper, cast.learner).front_mm == Decimal("93.7")
    assert set_of(paper, cast.group_mate).front_mm == Decimal(88)


@pytest.mark.parametrize("name", ["paper", "readings", "lock", "amend"])
@pytest.mark.parametrize("who", ["rival", "stranger", "teacher", "technician"])
def test_a_paper_of_others_is_not_found(cast, paper, as_, name, who):
    client = as_(getattr(cast, who))
    assert client.get(url(name, paper)).status_code == 404
    assert send(client, name, paper, unit="mm", front="95").status_code == 404


def test_a_form_without_its_key_is_refused(learner, paper):
    assert learner.post(url("readings", paper), {"unit": "mm"}).status_code == 400


def test_saving_is_in_the_audit_without_a_name(learner, cast, paper):
    save(learner, paper, front="95")
    entry = AuditEntry.objects.get(action="save_readings")
    assert entry.actor == cast.learner.token
    assert cast.learner.name not in entry.sentence


def test_a_learner_whose_code_opens_another_session_finds_nothing(cast, paper, as_):
    other = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    client = as_(cast.learner)
    session = client.session
    session["bench_session"] = str(other.uuid)
    session.save()
    assert client.get(url("readings", paper)).status_code == 404


# -- queries ----------------------------------------------------------------------------------------


def queries_for(client, address, django_assert_max_num_queries):
    with django_assert_max_num_queries(60) as counted:
        assert client.get(address).status_code == 200
    return len(counted)


def paper_with_lanes(cast, lanes):
    practical = make_practical()
    for order in range(5, lanes + 1):
        practical.analytes.create(order=order, key=f"s{order}", name=f"standard {order}", role="standard")
    if lanes < 4:
        practical.analytes.filter(order__gt=lanes).delete()
    session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, practical=practical)
    return make_paper(session.groups.first(), "B")


@pytest.mark.parametrize("page", ["readings", "paper", "lock"])
def test_as_many_queries_for_two_lanes_as_for_twelve(cast, as_, page, django_assert_max_num_queries):
    counts = []
    for lanes in (2, 12):
        found = paper_with_lanes(cast, lanes)
        client = as_(found.group.members.first().learner)
        fields = {f"l{n}_s{k}_centre": str(20 + n + k) for n in range(1, lanes + 1) for k in (1, 2)}
        save(client, found, origin="15", front="95", **fields)
        ReadingSet.objects.filter(paper=found).update(locked_at=timezone.now() if page == "paper" else None)
        client.get(url("readings" if page != "paper" else "paper", found))  # help is recorded the first time
        counts.append(queries_for(client, url(page, found), django_assert_max_num_queries))
    assert counts[0] == counts[1]


def test_a_save_takes_as_many_queries_for_two_lanes_as_for_twelve(cast, as_, django_assert_max_num_queries):
    counts = []
    for lanes in (2, 12):
        found = paper_with_lanes(cast, lanes)
        client = as_(found.group.members.first().learner)
        fields = {f"l{n}_s1_centre": str(20 + n) for n in range(1, lanes + 1)}
        with django_assert_max_num_queries(60) as counted:
            assert save(client, found, version="", origin="15", front="95", **fields).status_code == 302
        counts.append(len(counted))
    assert counts[0] == counts[1]


@pytest.mark.django_db(transaction=True)
def test_two_tabs_at_the_same_moment_keep_one_and_refuse_one(cast, as_):
    found = cast.session.groups.first().papers.first()
    answers = []

    def tab(front):
        try:
            answers.append(save(as_(cast.learner), found, version="", front=front).status_code)
        finally:
            connection.close()

    tabs = [threading.Thread(target=tab, args=(front,)) for front in ("90", "91")]
    for one in tabs:
        one.start()
    for one in tabs:
        one.join()
    assert sorted(answers) == [200, 302]
    assert ReadingSet.objects.filter(paper=found).count() == 1
