"""Containers for tests. Everything here is invented."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from reagents.models import Container


def make_container(substance: str = "butan-1-ol", amount: str = "500", **more: Any) -> Container:
    """A bottle that came a month ago and ends in a year."""
    today = timezone.localdate()
    return Container.objects.create(
        **{
            "substance": substance,
            "unit": "mL",
            "received_amount": Decimal(amount),
            "remaining": Decimal(amount),
            "lot": "L-1",
            "received_on": today - timedelta(days=30),
            "expires_on": today + timedelta(days=365),
            "place": "Cupboard 1",
            "storage": "flammable",
            **more,
        }
    )
