"""Every public function of a pure room documents each argument, and each number's unit."""

import importlib
import inspect
import itertools
import pkgutil

import pytest

import witnessmark
from conftest import PURE


def public_functions():
    for module in pkgutil.walk_packages(witnessmark.__path__, "witnessmark."):
        room = module.name.split(".")[1]
        if room in PURE | {"quantities"}:
            loaded = importlib.import_module(module.name)
            for name, thing in inspect.getmembers(loaded, inspect.isfunction):
                if not name.startswith("_") and thing.__module__ == module.name:
                    yield pytest.param(thing, id=f"{module.name}.{name}")


@pytest.mark.parametrize("function", list(public_functions()))
def test_docstring_names_every_argument_and_a_unit_for_every_number(function):
    lines = [line.rstrip() for line in (inspect.getdoc(function) or "").splitlines()]
    names = [line.strip() for line in lines]

    missing = [name for name in inspect.signature(function).parameters if name not in names]
    assert not missing

    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.annotation is float:
            described = lines[names.index(name) + 1 :]
            words = itertools.takewhile(lambda line: line.startswith("    "), described)
            assert "[" in "".join(words), f"{name} has no [unit]"
