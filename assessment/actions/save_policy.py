"""Settle how attempts and samples are handled here: each saving makes a new edition."""

from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.models import Policy
from practicals import audit
from practicals.models import User


@dataclass(frozen=True, slots=True)
class PolicySettings:
    """What a policy settles; the defaults are those of the record."""

    resubmissions_allowed: int = 1
    resubmission_working_days: int = 15
    term_time_only: bool = True
    late_loses_resubmission: bool = True
    resubmission_cap: str = ""
    which_counts: str = Policy.Counts.BEST
    retake_allowed: bool = False
    retake_cap: str = "pass"
    hold_until_verified: bool = False
    sample_by: str = Policy.SampleBy.SQUARE_ROOT
    sample_figure: int = 0
    sample_at_least: int = 3

    @classmethod
    def of(cls, policy: Policy) -> "PolicySettings":
        return cls(**{field.name: getattr(policy, field.name) for field in fields(cls)})


class PolicyOvertaken(ValidationError):
    """Another edition was saved after the form was opened."""

    def __init__(self) -> None:
        super().__init__(
            "Somebody saved another edition of the policy after you opened it. Your entries are kept below; "
            "compare them with the one that stands now, then save again."
        )


def save_policy(
    *, by: User, settings: PolicySettings, seen_edition: int, reason: str, now: datetime
) -> Policy:
    """Keep a new edition. Assignments that are issued keep the one they were issued under."""
    if not by.has_perm("assessment.set_policy"):
        raise PermissionDenied
    if not reason.strip():
        raise ValidationError("Write in a few words why the policy changes, such as “new course rules”.")
    with transaction.atomic():
        standing = standing_policy(now=now)
        if standing.edition != seen_edition:
            raise PolicyOvertaken
        if PolicySettings.of(standing) == settings:
            raise ValidationError("Nothing was changed, so there is nothing to save.")
        try:
            with transaction.atomic():
                saved = _keep(settings, edition=standing.edition + 1, by=by, reason=reason.strip(), now=now)
        except IntegrityError as error:
            raise PolicyOvertaken from error
        audit.record(
            by=by, action="save_policy", subject=saved, sentence=f"Policy saved as edition {saved.edition}."
        )
    return saved


def standing_policy(*, now: datetime) -> Policy:
    """The newest edition; the first one, with the defaults, is made when it is first asked for."""
    found = Policy.objects.current()
    if found is not None:
        return found
    made, _ = Policy.objects.get_or_create(edition=1, defaults={"saved_at": now, "reason": "the defaults"})
    return made


def _keep(settings: PolicySettings, *, edition: int, by: User, reason: str, now: datetime) -> Policy:
    values: dict[str, Any] = {field.name: getattr(settings, field.name) for field in fields(settings)}
    made: Policy = Policy.objects.create(edition=edition, saved_by=by, saved_at=now, reason=reason, **values)
    return made
