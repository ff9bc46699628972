"""The worked examples of the package."""

from __future__ import annotations

import doctest
import importlib

import pytest


@pytest.mark.parametrize("module", ["axis", "page", "palette", "spans"])
def test_examples(module: str) -> None:
    result = doctest.testmod(importlib.import_module(f"assistant.report.{module}"))
    assert result.attempted > 0
    assert result.failed == 0
