"""Tables follow the models, and a log that says words in plain is never carried over."""

from importlib import import_module

import pytest
from django.apps import apps
from django.core.management import call_command

from witnessmark.errors import BenchError

beside_the_log = import_module("witnessmark.record.migrations.0002_words_beside_the_log")


def test_no_model_is_ahead_of_its_migrations(db):
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_a_log_with_words_in_plain_is_not_carried_over(shop):
    with pytest.raises(BenchError, match="before its first release"):
        beside_the_log.nothing_is_entered(apps, None)


def test_a_shop_without_entries_is_carried_over(db):
    assert beside_the_log.nothing_is_entered(apps, None) is None
