"""An unknown may hold several substances, so each spot is named, not the lane."""

from typing import Any

import django.db.models.deletion
from django.db import migrations, models


def name_spots(apps: Any, schema_editor: Any) -> None:
    """What was said of a lane was said of all its spots."""
    spots = apps.get_model("practicals", "SpotReading").objects
    for lane in apps.get_model("practicals", "LaneReading").objects.exclude(identified_as=None):
        spots.filter(lane_reading=lane).update(identified_as=lane.identified_as_id)
    spots.filter(lane_reading__cannot_tell=True, identified_as=None).update(cannot_tell=True)


def name_lanes(apps: Any, schema_editor: Any) -> None:
    """A lane can be named again where its spots agree; where they differ, it cannot be told."""
    for lane in apps.get_model("practicals", "LaneReading").objects.prefetch_related("spots"):
        said = {(spot.identified_as_id, spot.cannot_tell) for spot in lane.spots.all()} - {(None, False)}
        if said:
            agreed = len(said) == 1
            lane.identified_as_id, lane.cannot_tell = said.pop() if agreed else (None, True)
            lane.save()


class Migration(migrations.Migration):
    dependencies = [("practicals", "0002_initial")]

    operations = [
        migrations.AddField(
            model_name="spotreading",
            name="cannot_tell",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="spotreading",
            name="identified_as",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="practicals.analyte",
            ),
        ),
        # Before the rows change: PostgreSQL alters no table that has checks of this transaction to come.
        migrations.AddConstraint(
            model_name="spotreading",
            constraint=models.CheckConstraint(
                condition=models.Q(("identified_as", None), ("cannot_tell", False), _connector="OR"),
                name="spot_named_or_cannot_be_told",
            ),
        ),
        migrations.RunPython(name_spots, name_lanes),
        migrations.RemoveField(model_name="lanereading", name="cannot_tell"),
        migrations.RemoveField(model_name="lanereading", name="identified_as"),
    ]
