"""A blend keeps the water that went into it, so that its strength can be laid anew when a part's is corrected."""

from __future__ import annotations

from typing import Any

from django.db import migrations, models


def water_remember(apps: Any, schema_editor: Any) -> None:
    """Takes the water of earlier blends from their entries; what was sent as words stays as it was worked out."""
    vessels = apps.get_model("staveward", "Vessel").objects.filter(act__collection="blends")
    for vessel in vessels.select_related("act").iterator():
        water_l = vessel.act.body.get("water_l") or 0.0
        if isinstance(water_l, int | float):
            vessel.water_l = float(water_l)
            vessel.save(update_fields=["water_l"])


class Migration(migrations.Migration):
    """Adds the column and fills it."""

    dependencies = [("staveward", "0013_photo_removals")]

    operations = [
        migrations.AddField(
            model_name="vessel",
            name="water_l",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.RunPython(water_remember, migrations.RunPython.noop),
    ]
