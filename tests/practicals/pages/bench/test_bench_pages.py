"""My bench: the session, the lanes, finishing, and changes after that."""

import pytest
from django.urls import reverse
from django.utils import timezone

from practicals.models import Amendment, HelpGiven, NoResult, Paper, Role, Session
from tests.factories import NOW, enrol, make_paper, make_readings, make_session, make_user
from tests.practicals.pages.bench.sending import save, send, set_of, url, value_of


def at_the_bench(client, session):
    """As after signing in with a bench code: narrowed to one session."""
    narrowed = client.session
    narrowed["bench_session"] = str(session.uuid)
    narrowed.save()
    return client


# -- home and session -------------------------------------------------------------------------------


def test_at_the_bench_home_leads_straight_to_the_session(learner, cast):
    answer = at_the_bench(learner, cast.session).get(reverse("bench:home"))
    assert answer.url == url("session", cast.session)


def test_with_a_passphrase_home_lists_my_sessions_only(learner, cast):
    other = Session.objects.exclude(pk=cast.session.pk).get()
    html = learner.get(reverse("bench:home")).content.decode()
    assert url("session", cast.session) in html
    assert url("session", other) not in html


def test_without_any_session_home_says_what_to_do(centre, as_):
    html = as_(make_user("", Role.LEARNER)).get(reverse("bench:home")).content.decode()
    assert "No session has started for you yet" in html


def test_the_session_shows_group_room_steps_with_cautions_and_what_comes_first(learner, cast):
    practical = cast.session.practical
    practical.steps = [
        {"title": "Spray the paper", "minutes": 5, "who": "staff only", "caution": "No source of ignition."}
    ]
    practical.save()
    html = learner.get(url("session", cast.session)).content.decode()
    for words in (
        "Group 1",
        cast.group_mate.name,
        "Lab 2",
        "Spray the paper",
        "Staff do this.",
        "No source of ignition.",
        "they come before anything on this page",
        "Gloves off, or clean",
        "unknown X",
    ):
        assert words in html
    assert cast.rival.name not in html
    assert "contains" not in html


@pytest.mark.parametrize("who", ["stranger", "teacher", "technician", "verifier"])
def test_a_session_of_others_is_not_found(cast, as_, who):
    assert as_(getattr(cast, who)).get(url("session", cast.session)).status_code == 404


def test_a_planned_session_is_not_open(cast, as_):
    planned = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, started=False)
    assert as_(cast.learner).get(url("session", planned)).status_code == 404


def test_a_paper_given_to_measure_is_listed_without_its_lanes_to_claim(cast, as_, paper):
    make_readings(paper, cast.rival, source="another group's paper")
    html = as_(cast.rival).get(url("session", cast.session)).content.decode()
    assert "of group 1, given to you to measure" in html
    assert html.count("I applied this lane") == 4  # those of their own group's paper


def test_a_paper_without_result_says_why(learner, paper, cast):
    Paper.objects.filter(pk=paper.pk).update(no_result=NoResult.TORN)
    assert "the paper is torn or spoilt" in learner.get(url("session", cast.session)).content.decode()


# -- lanes ------------------------------------------------------------------------------------------


def test_one_tap_says_that_i_applied_a_lane_and_another_takes_it_back(learner, cast, paper):
    answer = send(learner, "paper", paper, lane="2")
    assert answer.url.startswith(url("session", cast.session))
    assert paper.lanes.get(number=2).applied_by == cast.learner
    send(learner, "paper", paper, lane="2", taken_back="yes")
    assert paper.lanes.get(number=2).applied_by is None


def test_a_lane_of_a_mate_is_not_taken_over_and_no_name_is_said(learner, cast, paper, as_):
    send(as_(cast.group_mate), "paper", paper, lane="2")
    html = learner.post(
        url("paper", paper), {"lane": "2", "once": "6f2e2b0e-8a53-4d0c-9d8e-1d1f7f3f3a11"}, follow=True
    ).content.decode()
    assert "Someone else in your group has said" in html
    assert paper.lanes.get(number=2).applied_by == cast.group_mate


@pytest.mark.parametrize("lane", ["", "0", "99", "x", "-1", "²", "1" * 5000])
def test_a_lane_that_is_not_there_is_a_sentence(learner, paper, lane):
    assert send(learner, "paper", paper, lane=lane).status_code == 302
    assert "has no such lane" in learner.get(url("session", paper.group.session)).content.decode()


def test_whoever_measures_a_given_paper_cannot_claim_its_lanes(cast, as_, paper):
    make_readings(paper, cast.rival, source="another group's paper")
    send(as_(cast.rival), "paper", paper, lane="1")
    assert paper.lanes.get(number=1).applied_by is None


# -- finishing --------------------------------------------------------------------------------------


def test_finishing_saves_first_and_says_what_is_missing(learner, paper):
    answer = save(learner, paper, origin="15", l1_s1_centre="35", finish="yes")
    assert answer.url == url("lock", paper)
    html = learner.get(answer.url).content.decode()
    assert "The solvent front has not been read." in html
    assert "Lane 1, glycine: your own <i>R</i><sub>f</sub> of spot 1 is not given." in html


def test_looking_at_the_page_locks_nothing(learner, cast, paper):
    save(learner, paper, origin="15")
    learner.get(url("lock", paper))
    assert set_of(paper, cast.learner).locked_at is None


def test_nothing_saved_means_nothing_to_finish(learner, paper):
    assert learner.get(url("lock", paper)).url == url("readings", paper)
    assert send(learner, "lock", paper).url == url("readings", paper)


def test_after_locking_the_recomputed_values_are_shown(learner, cast, paper):
    # (45 - 15) / (95 - 15) = 0.375, half up 0.38: IUPAC Gold Book R05353 and common practice.
    Session.objects.filter(pk=cast.session.pk).update(help_setting="nothing")
    save(learner, paper, origin="15", front="95", l2_s1_centre="45", l2_s1_own_rf="2.67")
    assert "0.38" not in learner.get(url("paper", paper)).content.decode()
    assert "0.38" not in learner.get(url("lock", paper)).content.decode()
    send(learner, "lock", paper)
    html = learner.get(url("paper", paper)).content.decode()
    assert "0.38" in html
    assert "Worth another look" not in html
    assert HelpGiven.objects.get().text == (
        "After locking, the recomputed R_f values were shown with their uncertainty."
    )


def test_locked_readings_lead_to_what_came_of_them(learner, paper):
    save(learner, paper, origin="15")
    send(learner, "lock", paper)
    for name in ("readings", "lock"):
        assert learner.get(url(name, paper)).url == url("paper", paper)


def test_when_bench_work_ends_an_empty_form_is_not_offered(learner, cast, paper):
    Session.objects.filter(pk=cast.session.pk).update(readings_locked_at=NOW)
    assert learner.get(url("readings", paper)).url == url("paper", paper)
    assert "Bench work has ended" in learner.get(url("paper", paper)).content.decode()


def test_a_form_that_comes_after_the_end_of_bench_work_keeps_what_was_typed(learner, cast, paper):
    Session.objects.filter(pk=cast.session.pk).update(readings_locked_at=NOW)
    html = save(learner, paper, front="93.7").content.decode()
    assert value_of(html, "front") == "93.7"
    assert "no new readings can be saved here" in html


# -- amending ---------------------------------------------------------------------------------------


@pytest.fixture
def locked(learner, cast, paper):
    save(learner, paper, origin="15", front="95", l1_s1_centre="35")
    send(learner, "lock", paper)
    return set_of(paper, cast.learner)


def amend(client, paper, **fields):
    return send(
        client,
        "amend",
        paper,
        **{"unit": "mm", "origin": "15", "front": "90", "l1_s1_centre": "35", "version": "1"} | fields,
    )


def test_a_change_with_a_reason_is_kept_and_listed(learner, paper, locked):
    assert amend(learner, paper, reason="Front read from the wrong edge").url == url("paper", paper)
    assert "Front read from the wrong edge" in learner.get(url("paper", paper)).content.decode()
    assert Amendment.objects.count() == 1


@pytest.mark.parametrize("reason", ["", "   ", "x" * 10_000])
def test_a_change_without_a_usable_reason_keeps_what_was_typed(learner, paper, locked, reason):
    html = amend(learner, paper, reason=reason).content.decode()
    assert value_of(html, "front") == "90"
    assert 'id="id_reason_error"' in html
    assert not Amendment.objects.exists()


def test_a_change_that_changes_nothing_is_said_to_be_none(learner, paper, locked):
    assert "Nothing is different" in amend(learner, paper, front="95", reason="why").content.decode()


@pytest.mark.parametrize("typed", ["abc", "5 g", "1e999", "NaN"])
def test_a_change_to_no_length_is_refused(learner, paper, locked, typed):
    html = amend(learner, paper, front=typed, reason="why").content.decode()
    assert value_of(html, "front") == typed
    assert not Amendment.objects.exists()


def test_a_stale_change_shows_both(learner, paper, locked):
    amend(learner, paper, reason="first")
    html = amend(learner, paper, front="85", reason="second").content.decode()
    assert "<td>85</td><td>90</td>" in html


def test_a_draft_sent_after_locking_becomes_the_start_of_an_amendment(learner, paper, locked):
    html = save(learner, paper, front="88", version="1").content.decode()
    assert "These readings are locked" in html
    assert value_of(html, "front") == "88"
    assert 'name="reason"' in html
    assert url("amend", paper) in html


def test_another_spot_while_amending_keeps_what_was_typed(learner, paper, locked):
    html = amend(learner, paper, more="1").content.decode()
    assert 'name="l1_s2_centre"' in html
    assert value_of(html, "front") == "90"
    assert 'id="id_reason_error"' not in html


def test_a_closed_session_is_not_changed(learner, cast, paper, locked):
    now = timezone.now()
    Session.objects.filter(pk=cast.session.pk).update(readings_locked_at=now, closed_at=now)
    assert learner.get(url("amend", paper)).url == url("paper", paper)
    assert amend(learner, paper, reason="late").status_code == 302
    assert not Amendment.objects.exists()
    assert "Change a reading" not in learner.get(url("paper", paper)).content.decode()


def test_open_readings_are_not_amended(learner, paper):
    save(learner, paper, origin="15")
    assert learner.get(url("amend", paper)).url == url("readings", paper)


# -- the drawing ------------------------------------------------------------------------------------


def test_the_paper_is_drawn_to_scale_without_script(learner, paper):
    save(learner, paper, origin="15", front="95", l1_s1_centre="35")
    html = learner.get(url("readings", paper)).content.decode()
    # 100 mm x 120 mm with 10 mm around it; y runs down: the origin at 105, the front at 25, the spot at 85.
    assert 'viewBox="-10 -10 120.0 140.0"' in html
    assert 'd="M0 105.00h100.0"' in html
    assert 'd="M0 25.00H100.0"' in html
    assert "translate(12.50 85.00)" in html


def test_the_drawing_says_in_words_what_it_shows(learner, paper):
    save(learner, paper, origin="15", front="95", l1_s1_centre="35")
    html = learner.get(url("readings", paper)).content.decode()
    assert "Lane 1, glycine, spots: 1 at 35 mm." in html


# -- queries ----------------------------------------------------------------------------------------


def test_the_session_page_takes_as_many_queries_for_three_learners_as_for_thirty(
    cast, as_, django_assert_max_num_queries
):
    counts = []
    for more in (0, 24):
        for _ in range(more):
            enrol(cast.teaching_class, make_user("", Role.LEARNER))
        session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, group_size=30)
        group = session.groups.get()
        for letter in ("B", "C") if more else ():
            make_paper(group, letter)
        for member in group.members.all():
            for paper in group.papers.all():
                make_readings(paper, member.learner)
        client = as_(group.members.first().learner)
        with django_assert_max_num_queries(40) as counted:
            assert client.get(url("session", session)).status_code == 200
        counts.append(len(counted))
    assert counts[0] == counts[1]
