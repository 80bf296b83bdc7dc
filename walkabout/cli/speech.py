"""How the command ends when something is wrong: one line on stderr that says what to do, and an exit code."""

import errno
import sys
from collections.abc import Sequence
from typing import Any

import click

from walkabout.errors import BadInput, NotFound, SettingsError, WalkaboutError

BAD_INPUT = 2  # something given is wrong; the usual code of a usage error
FAILED = 1  # what was given may be right, but it could not be done


class OneLineErrors(click.Group):
    """A group of commands whose errors are one line.

    A fault of the program itself still shows its traceback: it is to be reported, not to be hidden.
    """

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,  # noqa: FBT001, FBT002 -- click's own signature
        **extra: Any,
    ) -> Any:
        """Run a command; with `standalone_mode`, end the process with its exit code."""
        if not standalone_mode:
            return super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
        try:
            code = super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
        except (WalkaboutError, click.ClickException, click.Abort, OSError) as error:
            click.echo(f"walkabout: {_one_line(error)}", err=True)
            code = _exit_code(error)
        sys.exit(code if isinstance(code, int) else 0)


def _exit_code(error: Exception) -> int:
    if isinstance(error, BadInput | NotFound | SettingsError | click.UsageError):
        return BAD_INPUT
    return FAILED


def _one_line(error: Exception) -> str:
    if isinstance(error, WalkaboutError):
        return " ".join(error.message.split())
    if isinstance(error, click.UsageError):
        command = error.ctx.command_path if error.ctx else "walkabout"
        return f"{' '.join(error.format_message().split())} Try: {command} --help"
    if isinstance(error, click.ClickException):
        return " ".join(error.format_message().split())
    if isinstance(error, OSError):
        return _system_words(error)
    return "Stopped. Nothing more was done."


def _system_words(error: OSError) -> str:
    place = f" {error.filename}" if error.filename else ""
    if error.errno in (errno.ENOSPC, errno.EFBIG, errno.EDQUOT):
        return f"The disk is full; the file{place} was not finished. What is recorded is safe. Free some space and repeat."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"This user may not write{place}. Choose another place, or give this user the right."
    return f"The system refused{place}: {error.strerror or error}. Check the place and try again."
