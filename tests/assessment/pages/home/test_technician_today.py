"""What waits for the technician: lists to prepare, and the chambers that the liquids go into."""

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from practicals.models import Chamber, Group, Lesson
from tests.reagents.shelved import make_container


def lesson_soon(cast):
    lesson = cast.session.lessons.get()
    lesson.starts_at, lesson.room = timezone.now() + timedelta(days=2), "Lab 7"
    lesson.save()
    return lesson


def today(as_, person):
    return as_(person).get(reverse("home:home")).content.decode()


def test_chambers_of_the_days_ahead_are_one_click_away_and_name_nobody(cast, as_):
    lesson_soon(cast)
    chambers = Chamber.objects.filter(group__session=cast.session).count()
    shown = today(as_, cast.technician)
    assert reverse("board:chambers", args=[cast.session.uuid]) in shown
    assert f"{chambers} of {chambers} empty" in shown
    assert f"{cast.session.practical.title}, Lab 7" in shown
    assert cast.session.teaching_class.name not in shown


def test_a_second_group_is_counted_once_however_many_lessons_there_are(cast, as_):
    first = lesson_soon(cast)
    Lesson.objects.create(
        session=cast.session,
        starts_at=first.starts_at + timedelta(days=1),
        minutes=90,
        room="Lab 7",
        leader=cast.teacher,
    )
    number = Group.objects.filter(session=cast.session).count() + 1
    Chamber.objects.create(group=Group.objects.create(session=cast.session, number=number), number=1)
    chambers = Chamber.objects.filter(group__session=cast.session).count()
    assert f"{chambers} of {chambers} empty" in today(as_, cast.technician)


def test_a_bottle_past_its_date_or_soon_to_end_asks_for_something(cast, as_):
    day = timezone.localdate()
    old = make_container("aspartame", place="Cold store", expires_on=day - timedelta(days=1))
    make_container("ethanol", place="Cupboard 1", expires_on=day + timedelta(days=3))
    make_container("propanone", place="Cupboard 1", expires_on=day + timedelta(days=99))
    shown = today(as_, cast.technician)
    assert reverse("stock:container", args=[old.uuid]) in shown
    assert "past its date since" in shown
    assert shown.index("aspartame, Cold store") < shown.index("ethanol, Cupboard 1")
    assert "propanone" not in shown
