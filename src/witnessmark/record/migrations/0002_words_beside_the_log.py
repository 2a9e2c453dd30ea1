"""What a ledger line and a look say in words moves beside the log, where it can be erased."""

import django.db.models.deletion
from django.db import migrations, models

from witnessmark.errors import BenchError


def nothing_is_entered(apps, schema_editor):
    """Stop where the log has entries: it says the words in plain and cannot be written anew."""
    if apps.get_model("log", "Entry").objects.exists():
        raise BenchError(
            "This shop was kept by a state of the program from before its first release.",
            "Its log holds typed words in plain, and a log is never written anew.",
            "Start a new folder; a demo shop starts over with: witnessmark demo --fresh",
        )


def beside(**how):
    return models.ForeignKey(
        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="log.aside", **how
    )


class Migration(migrations.Migration):
    dependencies = [("log", "0001_initial"), ("record", "0001_initial")]

    operations = [
        migrations.RunPython(nothing_is_entered, migrations.RunPython.noop),
        migrations.RenameField("reading", "outcome", "word"),
        migrations.AddField("reading", "what_aside", beside(null=True)),
        migrations.AddField("reading", "seen_aside", beside(null=True)),
        migrations.RemoveField("ledgerline", "what"),
        migrations.AddField("ledgerline", "what_aside", beside()),
        migrations.RemoveField("ledgerline", "place"),
        migrations.AddField("ledgerline", "place_aside", beside()),
    ]
