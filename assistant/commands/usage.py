"""What is wrong with the words of a command, as one sentence with the way to mend it."""

from __future__ import annotations

import typer

UsageError: type[Exception] = next(
    kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "UsageError"
)
"""What typer raises for words that do not fit: the public class of it has a base that is not."""


def is_help(error: Exception) -> bool:
    """Whether nothing is wrong but that a group of commands was given alone: it shows its help."""
    return type(error).__name__ == "NoArgsIsHelpError"


def told(error: Exception) -> str:
    """The sentence for a usage error: what is allowed, and where all of it stands."""
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "cuewalk"
    parameter = getattr(error, "param", None)
    if type(error).__name__ == "MissingParameter" and parameter is not None:
        name = parameter.metavar or parameter.name
        what = f"{command} needs {name}: {parameter.help or name}"
    else:
        # Typer passes on what its library for values says, with the kind of the error before it.
        what = error.format_message().replace("Value error, ", "")  # type: ignore[attr-defined]
    return f"{what if what[-1] in '.?' else f'{what}.'} See: {command} --help"
