"""The program: its commands, and the one place where errors become sentences and exit codes."""

from __future__ import annotations

import os
import shlex
import sys
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Annotated

import typer

from assistant.commands import (
    begin,
    check,
    demo,
    devices,
    export,
    heard,
    log,
    mend,
    model,
    new,
    phrases,
    places,
    reading,
    rehearse,
    report,
    schema,
    sheet,
    squad,
    train,
    understand,
    usage,
    week,
    why,
)
from assistant.commands.options import VerboseOption
from assistant.errors import CuewalkError
from assistant.logs import journal
from assistant.record.columns import clean
from catalogue.problems import CatalogueProblems

BAD_INPUT = 2
BROKEN_OFF = 130
"""What shells give for a program that Ctrl-C ended."""

app = typer.Typer(
    name="cuewalk",
    help="An offline voice coach for hands-free obstacle-skill training at home.",
    epilog="Pain, dizziness or breathlessness end the work. Your coach or a clinician knows better "
    "than any program.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def program_version() -> str:
    try:
        return version("cuewalk")
    except PackageNotFoundError:
        return "unknown"


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"cuewalk {program_version()}")
        raise typer.Exit


@app.callback()
def _program(
    show: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version."),
    ] = False,
    verbose: VerboseOption = False,
) -> None: ...


app.command("begin")(begin.begin)
app.command("train")(train.train)
app.command("rehearse", epilog=rehearse.EPILOG)(rehearse.rehearse_command)
app.command("demo")(demo.demo)
app.command("check")(check.check)
app.command("log")(log.log)
app.command("mend")(mend.mend)
app.command("export")(export.export_command)
app.command("week")(week.week)
app.command("sheet")(sheet.sheet)
app.command("why")(why.why)
app.command("report")(report.report)
app.command("squad")(squad.squad)
app.command("schema")(schema.schema)
app.command("heard", epilog=places.EPILOG)(heard.heard)
app.command("phrases")(phrases.phrases)
app.command("understand", epilog=places.EPILOG)(understand.understand)
app.command("reading")(reading.reading)
app.command("devices")(devices.devices)
app.add_typer(new.app, name="new")
app.add_typer(model.app, name="model")


def main() -> None:
    """Run a command; every error a user can mend is one sentence on standard error."""
    if os.name == "posix":
        # Record, profile, log, exports and reports tell of somebody's health: theirs alone.
        os.umask(0o077)
    try:
        left = app(prog_name="cuewalk", standalone_mode=False)
    except usage.UsageError as error:
        if usage.is_help(error):
            print(error, file=sys.stderr)
            sys.exit(BAD_INPUT)
        _fail(f"cuewalk: {usage.told(error)}")
    except CatalogueProblems as problems:
        _fail(str(problems))
    except CuewalkError as error:
        journal.debug("refused", exc_info=True)
        _fail(f"cuewalk: {error}")
    except (KeyboardInterrupt, typer.Abort):
        left = BROKEN_OFF
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except OSError as error:
        journal.debug("refused", exc_info=True)
        _fail(f"cuewalk: {_of_system(error)}")
    if left == BROKEN_OFF:
        # What was logged is committed; the session can be taken up again.
        print("\ncuewalk: Broken off; what was logged is kept", file=sys.stderr)
    sys.exit(left or 0)


def _of_system(error: OSError) -> str:
    """What the system refuses, with the way to mend it where it is known."""
    folder = Path(error.filename).parent if isinstance(error.filename, str | Path) else None
    if isinstance(error, FileNotFoundError) and folder is not None and not folder.exists():
        shown = shlex.quote(str(folder))
        return f"{error.filename}: there is no folder {folder}; make it first: mkdir -p {shown}"
    where = error.filename or "the system"
    return f"{where}: {error.strerror or error}; mend that and try again"


def _fail(text: str) -> None:
    # Names of files stand in it, which may hold anything.
    print("\n".join(map(clean, text.split("\n"))), file=sys.stderr)
    sys.exit(BAD_INPUT)
