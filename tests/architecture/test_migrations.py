"""Models and migrations agree, and whatever a migration does to data can be undone."""

import io

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations import RunPython, RunSQL

OWN = {"practicals", "assessment", "reagents"}


@pytest.mark.django_db
def test_no_migration_is_missing():
    printed = io.StringIO()
    try:
        call_command("makemigrations", check=True, dry_run=True, verbosity=1, stdout=printed)
    except SystemExit:
        pytest.fail("A model changed without its migration:\n" + printed.getvalue())


@pytest.mark.django_db
def test_every_own_migration_can_be_undone():
    loader = MigrationLoader(connection)
    own = {key: migration for key, migration in loader.disk_migrations.items() if key[0] in OWN}
    assert {app for app, _ in own} == OWN
    one_way = [
        key
        for key, migration in own.items()
        for operation in migration.operations
        if isinstance(operation, RunPython | RunSQL) and not operation.reversible
    ]
    assert one_way == []
