"""Deletes what has served its time: ended sign-ins, once-only keys, tries to sign in. Never a record."""

from datetime import timedelta
from typing import Any

from axes.handlers.proxy import AxesProxyHandler
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from practicals.models import WrongTry
from reagents.models import FormKey

#: No sign-in lasts as long, so no page that carries the key can still be sent.
KEYS_KEPT = timedelta(days=7)
TRIES_KEPT_DAYS = 30


class Command(BaseCommand):
    help = "Delete ended sign-ins, once-only keys and tries to sign in. Runs at each start of the server."

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        keys, _ = FormKey.objects.filter(sent_at__lt=now - KEYS_KEPT).delete()
        tries, _ = WrongTry.objects.filter(at__lt=now - timedelta(days=TRIES_KEPT_DAYS)).delete()
        call_command("clearsessions")
        AxesProxyHandler.reset_logs(age_days=TRIES_KEPT_DAYS)
        if options["verbosity"]:
            self.stdout.write(f"Deleted {keys} once-only keys and {tries} wrong tries.")
