"""The worked examples in the package's documentation are true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import catalogue

MODULES = sorted(module.name for module in pkgutil.iter_modules(catalogue.__path__))


@pytest.mark.parametrize("name", MODULES)
def test_examples(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"catalogue.{name}")).failed == 0


def test_there_are_examples() -> None:
    finder = doctest.DocTestFinder(exclude_empty=True)
    loaded = [importlib.import_module(f"catalogue.{name}") for name in MODULES]
    assert sum(bool(test.examples) for module in loaded for test in finder.find(module)) >= 10
