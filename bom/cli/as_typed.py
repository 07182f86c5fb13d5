"""Words taken as they were typed: an option left out, and one that is text, need no reading.

The parser builds a reader for every option before it looks whether the option was given, and loads a library of
readers for it: a fifth of a short answer's time. What is more than text is still read by it.
"""

from __future__ import annotations

from typing import Any

import typer


class AsTyped:
    """Stands where one option's reader stands, until the option is given and is more than text."""

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:
        """What was typed; the parser's own reader where that is more than text."""
        if value is None:
            return () if param.multiple or param.nargs == -1 else None
        if isinstance(value, str) and _is_text(param.type_descriptor):
            return value
        param._runtime_param = None  # makes the parser build its own
        return param.get_runtime_param().coerce(value, param=param, ctx=ctx)


def _is_text(descriptor: Any) -> bool:
    return descriptor.annotation is str and descriptor.parameter_info.parser is None


def take_as_typed(command: Any, above: Any = None) -> Any:
    """The command and all under it, in no hurry to build readers; a parser that builds none is left as it is."""
    here = typer.Context(command, parent=above, **command.context_settings)
    for param in command.get_params(here):  # with the one for help, which is made when first asked for
        if hasattr(param, "get_runtime_param") and param._runtime_param is None:
            param._runtime_param = AsTyped()
    for under in getattr(command, "commands", {}).values():
        take_as_typed(under, here)
    return command
