"""Moved: each verb has its own module."""

from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.actions.sign_record import sign_record

__all__ = ["give_verdict", "open_record", "sign_record"]
