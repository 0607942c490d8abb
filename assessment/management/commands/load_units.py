"""Add the units that come with the program. Safe to run again: an edition that is there stays."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from assessment.actions.add_unit import add_unit

UNITS = Path(__file__).resolve().parents[2] / "data" / "units"


class Command(BaseCommand):
    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        for path in sorted(UNITS.glob("*.toml")):
            unit = add_unit(by=None, text=path.read_text(encoding="utf-8"), now=timezone.now())
            self.stdout.write(f"{unit} is there.")
