"""The app put together: the only module that knows all blueprints. It wires and decides nothing."""

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any

from flask import Flask
from flask_babel import Babel
from flask_wtf import CSRFProtect

from walkabout import assets
from walkabout.jobs.backups import Copies
from walkabout.records import yards
from walkabout.records.database import connect_thread, open_database
from walkabout.web import (
    access,
    clock,
    entries,
    errors,
    gateway,
    keeping,
    limbs,
    limits,
    manual,
    many,
    merges,
    offline,
    people,
    photo_exchange,
    photos,
    plant_tags,
    plants,
    posted_photos,
    records,
    security,
    spots,
    static,
    sync,
    tags,
    tasks,
    walk,
    words,
    yard,
)

_LARGEST_REQUEST = 1024 * 1024  # bytes; a batch of entries is at most 256 kB
_SIGNED_IN_FOR = timedelta(days=400)  # the most that browsers keep a cookie


def create_app(folder: Path, config: Mapping[str, Any] | None = None) -> Flask:
    """The web app of one data folder.

    Args:
        folder: the data folder, with a yard set up in it.
        config: values over the ones below; BACKUPS, where the copies are, and CLOCK, a callable that gives the time in
            UTC, are among them.

    Raises:
        YardMissing: the folder holds no yard.
        DataFolderError: the database cannot be opened.
    """
    open_database(folder)
    app = Flask("walkabout", static_folder=None, template_folder=str(assets.TEMPLATES))
    app.config.update(
        BACKUPS=Copies(folder),
        CLOCK=clock.system_clock,
        MAX_CONTENT_LENGTH=_LARGEST_REQUEST,
        PERMANENT_SESSION_LIFETIME=_SIGNED_IN_FOR,
        SECRET_KEY=yards.secret_key(),
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_NAME="walkabout",
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_SECURE=yards.origins()[0].startswith("https://"),
        SESSION_REFRESH_EACH_REQUEST=False,
        WTF_CSRF_TIME_LIMIT=None,  # a form may lie open over a winter; the session is the limit
    )
    app.config.update(config or {})

    app.wsgi_app = gateway.answer_even_empty(app.wsgi_app)  # type: ignore[method-assign]
    # hypercorn runs each request on one of a few threads; each keeps its connection.
    app.before_request(connect_thread)
    limits.limiter.init_app(app)
    access.guard(app)
    Babel(app)
    posted_photos.admit(app)
    csrf = CSRFProtect(app)
    for exchanging in (sync.blueprint, photo_exchange.blueprint):
        csrf.exempt(exchanging)  # web/exchange.py says what stands for the token
    security.protect(app)
    errors.explain(app)
    static.add_to(app)
    words.teach(app)
    app.jinja_env.globals.update(
        backup_warning=records.backup_warning,
        latest_day=keeping.latest_day,
        texts_address=offline.texts_address,
    )
    for blueprint in (
        static, people, plants, plant_tags, limbs, merges, spots, yard, tags, entries, tasks, walk, many, records, manual,
        sync, photos, photo_exchange, offline,
    ):  # fmt: skip
        app.register_blueprint(blueprint.blueprint)
    return app
