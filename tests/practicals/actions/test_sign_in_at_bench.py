from datetime import timedelta

import pytest

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.sign_in_at_bench import TooManyTries, WrongCode, sign_in_at_bench
from practicals.actions.withdraw_learner import withdraw_learner
from practicals.calculations.bench_code import FREE_TRIES, UnreadableCode
from practicals.models import AuditEntry, WrongTry
from tests.factories import NOW, make_session

WRONG = "ZZZZ-ZZZ2"


@pytest.fixture
def codes(cast):
    return dict(issue_bench_codes(by=cast.teacher, session=cast.session, now=NOW))


def sign_in(cast, code, *, word=None, address="192.0.2.7", now=NOW):
    word = cast.teaching_class.class_word if word is None else word
    return sign_in_at_bench(class_word=word, code=code, address=address, now=now)


def test_the_code_opens_its_session_for_its_learner_as_often_as_needed(cast, codes):
    for _ in range(3):
        found = sign_in(cast, codes[cast.learner])
        assert (found.learner, found.session) == (cast.learner, cast.session)


def test_word_and_code_may_be_typed_carelessly(cast, codes):
    code = codes[cast.learner]
    typed = f" {code[:4].lower()} - {code[4:].lower()} "
    assert sign_in(cast, typed, word=f" {cast.teaching_class.class_word.upper()} ").learner == cast.learner


def test_a_wrong_code_is_refused_and_remembered(cast, codes):
    with pytest.raises(WrongCode, match="do not fit together"):
        sign_in(cast, WRONG)
    assert WrongTry.objects.get().address == "192.0.2.7"


def test_a_code_with_another_class_s_word_is_refused_in_the_same_words(cast, codes):
    other = cast.stranger.enrolments.get().teaching_class.class_word
    with pytest.raises(WrongCode, match="do not fit together"):
        sign_in(cast, codes[cast.learner], word=other)


def test_a_replaced_code_opens_nothing(cast, codes):
    issue_bench_codes(by=cast.teacher, session=cast.session, learners=[cast.learner], reissue=True, now=NOW)
    with pytest.raises(WrongCode, match="do not fit together"):
        sign_in(cast, codes[cast.learner])
    assert sign_in(cast, codes[cast.group_mate]).learner == cast.group_mate


def test_a_closed_session_is_said_to_be_closed(cast, codes):
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    with pytest.raises(WrongCode, match="closed"):
        sign_in(cast, codes[cast.learner])


def test_a_session_that_has_not_started_says_so(cast):
    later = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, started=False)
    codes = dict(issue_bench_codes(by=cast.teacher, session=later, now=NOW))
    with pytest.raises(WrongCode, match="not started"):
        sign_in(cast, codes[cast.learner])


def test_somebody_who_left_the_class_or_the_centre_is_refused(cast, codes):
    withdraw_learner(
        by=cast.teacher, teaching_class=cast.teaching_class, learner=cast.learner, reason="moved", now=NOW
    )
    cast.rival.is_active = False
    cast.rival.save()
    for gone in (cast.learner, cast.rival):
        with pytest.raises(WrongCode, match="do not fit together"):
            sign_in(cast, codes[gone])


@pytest.mark.parametrize("typed", ["", "abc", "1e9", "12,5", "-", "D8RD8SG4X"])
def test_what_cannot_be_a_code_costs_no_try(cast, typed):
    with pytest.raises(UnreadableCode):
        sign_in(cast, typed)
    assert not WrongTry.objects.exists()


def wrong(cast, times, **more):
    for _ in range(times):
        with pytest.raises(WrongCode):
            sign_in(cast, WRONG, **more)


def test_many_wrong_tries_make_even_the_right_code_wait(cast, codes):
    wrong(cast, FREE_TRIES)
    with pytest.raises(TooManyTries, match="Wait 5 seconds") as caught:
        sign_in(cast, codes[cast.learner])
    assert caught.value.seconds == 5
    assert sign_in(cast, codes[cast.learner], now=NOW + timedelta(seconds=5)).learner == cast.learner


def test_trying_during_the_wait_does_not_lengthen_it(cast, codes):
    wrong(cast, FREE_TRIES)
    wrong(cast, 5)
    assert WrongTry.objects.count() == FREE_TRIES


def test_the_wait_grows_and_ends(cast, codes):
    wrong(cast, FREE_TRIES)
    later = NOW + timedelta(seconds=6)
    wrong(cast, 1, now=later)
    with pytest.raises(TooManyTries) as caught:
        sign_in(cast, codes[cast.learner], now=later)
    assert caught.value.seconds == 10
    assert sign_in(cast, codes[cast.learner], now=NOW + timedelta(minutes=16))


def test_another_class_and_another_address_do_not_wait(cast, codes):
    wrong(cast, FREE_TRIES)
    assert sign_in(cast, codes[cast.learner], address="192.0.2.8")
    other = cast.stranger.enrolments.get().teaching_class
    session = other.sessions.get()
    theirs = dict(issue_bench_codes(by=cast.other_teacher, session=session, now=NOW))
    assert sign_in(cast, theirs[cast.stranger], word=other.class_word)


def test_old_wrong_tries_are_not_kept(cast, codes):
    wrong(cast, 1)
    wrong(cast, 1, now=NOW + timedelta(hours=1))
    assert WrongTry.objects.count() == 1


def test_signing_in_is_in_the_audit_trail(cast, codes):
    sign_in(cast, codes[cast.learner])
    entry = AuditEntry.objects.get(action="sign_in_at_bench")
    assert (entry.actor, entry.subject) == (cast.learner.token, str(cast.session.uuid))
