"""What has served its time is deleted, and nothing else."""

from datetime import timedelta
from uuid import uuid4

from axes.models import AccessLog
from django.contrib.sessions.models import Session as SignIn
from django.core.management import call_command
from django.utils import timezone

from practicals.models import AuditEntry, WrongTry
from reagents.models import FormKey


def test_only_what_has_served_its_time_goes(cast, as_):
    now, kept = timezone.now(), AuditEntry.objects.count()
    for age in (timedelta(days=8), timedelta(days=1)):
        row = FormKey.objects.create(person=cast.teacher, key=uuid4(), answer=f"/{age.days}/")
        FormKey.objects.filter(pk=row.pk).update(sent_at=now - age)
    for age in (timedelta(days=31), timedelta(minutes=1)):
        WrongTry.objects.create(class_word="willow27", address=f"203.0.113.{age.days}", at=now - age)
        row = AccessLog.objects.create(username=f"tess{age.days}")
        AccessLog.objects.filter(pk=row.pk).update(attempt_time=now - age)
    as_(cast.teacher)
    ended = as_(cast.other_teacher).session.session_key
    SignIn.objects.filter(pk=ended).update(expire_date=now - timedelta(minutes=1))
    call_command("tidy", verbosity=0)
    assert [key.answer for key in FormKey.objects.all()] == ["/1/"]
    assert [one.address for one in WrongTry.objects.all()] == ["203.0.113.0"]
    assert [log.username for log in AccessLog.objects.filter(username__startswith="tess")] == ["tess0"]
    assert SignIn.objects.count() == 1
    assert AuditEntry.objects.count() == kept
