"""One process that serves one data folder on one port, and nobody else beside it."""

import asyncio
import errno
import gc
import os
import signal
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout
from flask import Flask
from hypercorn.asyncio import serve as serve_hypercorn
from hypercorn.config import Config

from walkabout.errors import BadInput, DataFolderError, FolderLocked
from walkabout.records.database import close_database

_LOCK = "serve.lock"
_HOLDER = "serving.txt"
_LARGEST_BODY = 64_000_000  # bytes; the app refuses smaller ones, in words, which hypercorn would not
_GRACE = 5.0  # seconds for requests under way when the process is asked to end


@contextmanager
def sole_server(folder: Path, address: str) -> Iterator[None]:
    """Hold the data folder for this process. The system lets go of it when the process ends, however it ends.

    Args:
        folder: the data folder.
        address: where this process will serve, told to a second one that comes.

    Raises:
        FolderLocked: another process serves the folder.
        DataFolderError: the folder cannot be written.
    """
    lock = FileLock(folder / _LOCK, timeout=0)
    try:
        lock.acquire()
    except Timeout as error:
        raise FolderLocked(
            f"{folder} is served already by {_holder(folder)}. Open that address, or end that process first."
        ) from error
    except OSError as error:
        raise DataFolderError(
            f"The data folder {folder} cannot be written ({error.strerror}). Give this user the right, or use --data."
        ) from error
    try:
        (folder / _HOLDER).write_text(f"process {os.getpid()} at {address}", encoding="utf-8")
        yield
    finally:
        (folder / _HOLDER).unlink(missing_ok=True)
        lock.release()


def bound_socket(host: str, port: int) -> socket.socket:
    """A socket bound to the address, so that a busy port is found out before anything is said or served.

    Raises:
        BadInput: the host is none of this machine, or the port is taken or not allowed.
    """
    try:
        family, kind, protocol, _, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        listener = socket.socket(family, kind, protocol)
    except OSError as error:
        raise BadInput(
            f'"{host}" is no address of this machine. Use --host 127.0.0.1, or 0.0.0.0 for the home network.'
        ) from error
    if os.name == "posix":
        # Connections of a killed process linger in the system and must not hinder the next start.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(place)
        listener.listen()
    except OSError as error:
        listener.close()
        raise BadInput(_port_words(error, host, port)) from error
    return listener


def run(app: Flask, listener: socket.socket, ready: Callable[[], None]) -> None:
    """Serve the app until the process is asked to end (SIGTERM, Ctrl-C); requests under way are finished.

    Args:
        app: the app.
        listener: a bound socket; closed at the end.
        ready: called when the first request can be answered.
    """
    config = Config()
    config.bind = [f"fd://{listener.detach()}"]
    config.accesslog = None
    config.errorlog = "-"
    config.loglevel = "WARNING"  # ours is the one line that says the address
    config.graceful_timeout = _GRACE
    config.wsgi_max_body_size = _LARGEST_BODY
    config.include_server_header = False
    asyncio.run(_serve(app, config, ready))
    # When the last connection closes, SQLite folds its log into the database, so that the one file is the whole.
    # Those of the threads that answered are unreachable by now, but each stands in a ring with its own cache.
    gc.collect()
    close_database()


async def _serve(app: Flask, config: Config, ready: Callable[[], None]) -> None:
    asked_to_end = asyncio.Event()
    loop = asyncio.get_running_loop()
    for number in (signal.SIGTERM, signal.SIGINT):
        try:
            loop.add_signal_handler(number, asked_to_end.set)
        except NotImplementedError:  # Windows: Ctrl-C arrives as KeyboardInterrupt
            break
    loop.call_soon(ready)
    await serve_hypercorn(app, config, shutdown_trigger=asked_to_end.wait, mode="wsgi")


def _holder(folder: Path) -> str:
    try:
        return (folder / _HOLDER).read_text(encoding="utf-8").strip() or "another process"
    except OSError:
        return "another process"


def _port_words(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"Port {port} is taken by another program. End that program, or choose another port with --port."
        )
    if error.errno in (errno.EACCES, errno.EPERM):
        return f"Port {port} is not allowed for this user. Choose one above 1023 with --port."
    return f'"{host}" is no address of this machine. Use --host 127.0.0.1, or 0.0.0.0 for the home network.'
