from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from practicals.actions.add_practical import add_practical
from practicals.calculations.practical_file import shipped_practicals


class Command(BaseCommand):
    help = "Load the practicals that come with the program. Safe to run twice."

    def handle(self, *args: Any, **options: Any) -> None:
        for name, text in shipped_practicals().items():
            practical = add_practical(by=None, text=text, now=timezone.now())
            self.stdout.write(f"{name}: {practical}")
