from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from assessment.actions.add_unit import add_unit
from assessment.calculations.unit_file import shipped_unit_texts


class Command(BaseCommand):
    help = "Load the units that come with the program. Safe to run twice."

    def handle(self, *args: Any, **options: Any) -> None:
        for text in shipped_unit_texts():
            self.stdout.write(str(add_unit(by=None, text=text, now=timezone.now())))
