from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from practicals.actions.add_practical import add_practical
from practicals.actions.load_reference_values import load_reference_values
from practicals.calculations.practical_file import shipped_practicals


class Command(BaseCommand):
    help = "Load the practicals and published values that come with the program. Safe to run twice."

    def handle(self, *args: Any, **options: Any) -> None:
        for name, text in shipped_practicals().items():
            practical = add_practical(by=None, text=text, now=timezone.now())
            self.stdout.write(f"{name}: {practical}")
        loaded = load_reference_values(by=None, now=timezone.now())
        self.stdout.write(f"Published values: {len(loaded)} loaded.")
