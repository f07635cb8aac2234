"""Comparison of rule sets on one design: alignment and drivers.

The package is also what `deckclause.compare(...)` calls: once any module of it is imported, Python
puts it under that name, so that it answers a call as the public function does (api/ask.py).
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import Any


class _Callable(ModuleType):
    """A package that may be called."""

    def __call__(self, *arguments: Any, **named: Any) -> Any:
        """Do what `deckclause.api.compare` does: its arguments, its result."""
        return import_module("deckclause.api").compare(*arguments, **named)


sys.modules[__name__].__class__ = _Callable
