"""The command `witnessmark`: finds its commands, runs one, prints what a person can mend."""

import argparse
import importlib
import os
import pkgutil
import sys
from collections.abc import Sequence

import witnessmark.cli
from witnessmark import __version__
from witnessmark.errors import BenchError, SheetError

BAD_INPUT = 2


def build_parser() -> argparse.ArgumentParser:
    """Return the parser with every command of this folder in it."""
    parser = argparse.ArgumentParser(
        prog="witnessmark",
        description="The bench-side job book of a teaching garage.",
        epilog="Each command has its own help: witnessmark circuit --help",
    )
    parser.add_argument("--version", action="version", version=f"witnessmark {__version__}")
    subparsers = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for module in sorted(pkgutil.iter_modules(witnessmark.cli.__path__), key=lambda m: m.name):
        if module.name != "main":
            importlib.import_module(f"witnessmark.cli.{module.name}").add_to(subparsers)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; 0 done, 1 the answer is no, 2 the input needs mending."""
    asked = build_parser().parse_args(arguments)
    try:
        code: int = asked.run(asked)
    except SheetError as error:
        for mistake in error.mistakes:
            where = f"{error.name}, line {mistake.line}" if mistake.line else error.name
            print(f"{where}: {mistake.found} {mistake.needed} {mistake.do}", file=sys.stderr)
        return BAD_INPUT
    except BenchError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except FileNotFoundError as error:
        print(
            f"There is no file {error.filename}. "
            "The command needs a file that is there. Check the name and the folder.",
            file=sys.stderr,
        )
        return BAD_INPUT
    except (IsADirectoryError, PermissionError) as error:
        print(
            f"{error.filename} cannot be read as a file: {error.strerror}. "
            "The command needs a text file that it may read. Check the name.",
            file=sys.stderr,
        )
        return BAD_INPUT
    except UnicodeDecodeError:
        print(
            "The file is not a text in UTF-8. Sheets and readings are plain text. "
            "Open it in an editor and save it as UTF-8.",
            file=sys.stderr,
        )
        return BAD_INPUT
    except BrokenPipeError:  # the reader, `head` for one, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return code


if __name__ == "__main__":
    sys.exit(main())
