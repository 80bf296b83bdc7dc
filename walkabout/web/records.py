"""The owner's page of the records: the last backup, making one now, and taking everything out."""

from collections.abc import Iterator

from flask import Blueprint, Response, current_app, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.errors import WalkaboutError
from walkabout.exports.out import export_pieces
from walkabout.jobs.backups import Copies, one_line
from walkabout.records.backup_log import OLD_AFTER, Warned, read_log, warning
from walkabout.records.database import data_folder
from walkabout.web import access, clock
from walkabout.web.forms import BareForm
from walkabout.web.words import number_words

blueprint = Blueprint("records", __name__)


def backup_warning() -> Warned | None:
    """What the person of this request should be told of the backups; only an owner is."""
    here = access.signed_in()
    if here is None or here.person.role != "owner":
        return None
    return warning(data_folder(), clock.today())


@blueprint.get("/yard/records")
@access.owner_only
def page() -> ResponseReturnValue:
    """When the last backup was made, where it lies, and what to do with it."""
    copies = _copies()
    return render_template(
        "records/records.html",
        form=BareForm(),
        log=read_log(copies.data),
        copies=copies,
        warned=backup_warning(),
        old_after=OLD_AFTER,
        byte_words=_byte_words,
    )


@blueprint.post("/yard/records/backup")
@access.owner_only
def back_up() -> ResponseReturnValue:
    """Make a backup now; the answer comes when it was read again."""
    if BareForm().validate_on_submit():
        try:
            _copies().make(clock.now())
        except (WalkaboutError, OSError) as error:
            current_app.logger.error("The backup failed: %s", one_line(error))
            flash(_("No backup was made. %(why)s", why=one_line(error)))
        else:
            flash(_("A backup was made, read again, and is whole."))
    return redirect(url_for("records.page"))


@blueprint.get("/yard/records/export")
@access.owner_only
def export() -> ResponseReturnValue:
    """Everything as one zip, sent while it is made."""
    pieces = export_pieces(data_folder(), clock.now())
    first = next(pieces)  # all records are read for it, by the thread that has a connection

    def sent() -> Iterator[bytes]:
        yield first
        yield from pieces

    response = Response(sent(), mimetype="application/zip")
    name = f"walkabout-export-{clock.today():%Y-%m-%d}.zip"
    response.headers.set("Content-Disposition", "attachment", filename=name)
    return response


def _copies() -> Copies:
    copies: Copies = current_app.config["BACKUPS"]
    return copies


def _byte_words(size: int) -> str:
    """A size of files: 0.3 MB, 120 MB, 4.1 GB."""
    if size < 1e9:
        return str(_("%(number)s MB", number=number_words(size / 1e6, 1 if size < 1e7 else 0)))
    return str(_("%(number)s GB", number=number_words(size / 1e9)))
