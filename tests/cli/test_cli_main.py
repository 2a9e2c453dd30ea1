"""What a person may type at the command line, and what comes back."""

import pytest

from witnessmark.cli.main import main


@pytest.mark.parametrize(
    ("content", "words"),
    [(None, "cannot be read as a file"), (b"\xff\xfe\x00key", "not a text in UTF-8")],
)
def test_a_file_that_is_no_text_is_answered_in_sentences(tmp_path, capsys, content, words):
    path = tmp_path / "sheet.toml"
    path.mkdir() if content is None else path.write_bytes(content)

    assert main(["check", str(path)]) == 2

    assert words in capsys.readouterr().err


def test_examples_are_copied_into_a_new_folder_only(tmp_path, capsys):
    folder = tmp_path / "sheets"

    assert main(["examples", str(folder)]) == 0
    (folder / "circuits" / "fan.toml").write_text("mine")
    assert main(["examples", str(folder)]) == 2

    assert (folder / "circuits" / "fan.toml").read_text() == "mine"
    assert "is there already" in capsys.readouterr().err
