"""`witnessmark serve` copies the database before it changes it."""

import os
import sqlite3
import subprocess
import sys

PREPARE = (
    "from pathlib import Path; from witnessmark.cli.serve import open_folder, prepare_database; "
    "import sys; open_folder(Path(sys.argv[1])); prepare_database()"
)


def _prepare(folder):
    folder.mkdir(exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-c", PREPARE, str(folder)],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"DJANGO_SETTINGS_MODULE": "witnessmark.web.settings"},
    )
    return done.stdout


def test_a_new_folder_is_not_copied_and_a_second_start_changes_nothing(tmp_path):
    assert "copy" not in _prepare(tmp_path)
    assert "copy" not in _prepare(tmp_path)
    assert not (tmp_path / "copies").exists()


def test_a_database_of_an_older_version_is_copied_before_it_is_changed(tmp_path):
    _prepare(tmp_path)
    with sqlite3.connect(tmp_path / "shop.sqlite3") as database:  # as if one change were to come
        database.execute("CREATE TABLE of_the_shop (word text)")
        database.execute("INSERT INTO of_the_shop VALUES ('kept')")
        newest = "SELECT max(id) FROM django_migrations WHERE app = 'sessions'"
        database.execute(f"DELETE FROM django_migrations WHERE id = ({newest})")
        database.execute("DROP TABLE django_session")
    assert "A copy of it as it was" in _prepare(tmp_path)
    (copy,) = (tmp_path / "copies").iterdir()
    with sqlite3.connect(copy) as kept:
        assert kept.execute("SELECT word FROM of_the_shop").fetchone() == ("kept",)
        tables = {row[0] for row in kept.execute("SELECT name FROM sqlite_master")}
    assert "django_session" not in tables
