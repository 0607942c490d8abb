"""The same public identities at each load, so that what is drawn by them is drawn the same."""

import random
from collections.abc import Iterator
from contextlib import contextmanager
from uuid import UUID, uuid4

from django.apps import apps
from django.db.models import UUIDField


@contextmanager
def repeatable_identities(seed: int) -> Iterator[None]:
    """Within it every record gets its UUID from the seed.

    For the demo only: such an identity can be guessed.
    """
    rng = random.Random(seed)  # noqa: S311

    def drawn() -> UUID:
        return UUID(int=rng.getrandbits(128), version=4)

    fields = [
        field
        for model in apps.get_models()
        for field in model._meta.local_fields  # noqa: SLF001  (Django documents it under this name)
        if isinstance(field, UUIDField) and field.default is uuid4
    ]
    for field in fields:
        _set_default(field, drawn)
    try:
        yield
    finally:
        for field in fields:
            _set_default(field, uuid4)


def _set_default(field: "UUIDField[UUID, UUID]", default: object) -> None:
    field.default = default
    # Django keeps what it derived from the default.
    field.__dict__.pop("_get_default", None)
