"""Run the page on this machine's loopback address, for one person, until it is stopped."""

from __future__ import annotations

import gc
import secrets
import socket
import webbrowser
from pathlib import Path
from threading import Thread
from time import sleep
from typing import TYPE_CHECKING

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.page.bench import Bench

LOOPBACK = "127.0.0.1"
"""Never anything else: the page is not for other machines."""
MOST_LINGERING = 3
"""Seconds an answer still being worked out may hold the page back once it is stopped."""
BETWEEN_COLLECTIONS = 20.0
"""Seconds; a collection takes some milliseconds."""


def serve(catalogue: Catalogue, folder: Path, *, port: int = 0, open_browser: bool = False) -> None:
    """Serve until interrupted. `port` 0 takes a free one. Raises InputError where it is taken."""
    try:
        import uvicorn

        from deckclause.page.app import build_app
    except ModuleNotFoundError as fault:
        raise InputError.single(
            "deckclause page",
            f"needs {fault.name}; install it with: pip install 'deckclause[page]'",
        ) from None
    from deckclause.page.bench import Bench
    from deckclause.page.folder import Folder

    listening = _bound(port)
    port = listening.getsockname()[1]
    key = secrets.token_urlsafe(32)
    hosts = (f"{LOOPBACK}:{port}", f"localhost:{port}")
    bench = Bench(catalogue, Folder(folder))
    _ready(bench)
    app = build_app(bench, key, hosts, shut=(listening,))
    address = f"http://{LOOPBACK}:{port}/#key={key}"
    print(f"A page to work on designs in {folder.resolve()}; open this address:\n\n  {address}\n")
    print("Only this machine can reach it, and only with the key in the address. Ctrl-C stops it.")
    print(end="", flush=True)
    Thread(target=_collect_now_and_then, daemon=True).start()  # after the workers were forked
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        lifespan="off",
        ws="none",
        timeout_graceful_shutdown=MOST_LINGERING,
    )
    if open_browser:
        webbrowser.open(f"http://{LOOPBACK}:{port}/#key={app.open_once()}")
    try:
        uvicorn.Server(config).run(sockets=[listening])
    except KeyboardInterrupt:
        print("\nstopped")


def _ready(bench: Bench) -> None:
    """Read the rules, then keep them out of every later search for garbage.

    They stay until the page is stopped. An answer leaves next to none behind; searching for it
    while one is worked out would make one answer in twenty take half as long again, so it is
    searched for now and then instead.
    """
    bench.warm_up()
    gc.collect()
    gc.freeze()
    gc.disable()


def _collect_now_and_then() -> None:
    while True:
        sleep(BETWEEN_COLLECTIONS)
        gc.collect()


def _bound(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((LOOPBACK, port))
        listening.listen()  # before the address is told: who opens it at once is not refused
    except (OSError, OverflowError) as fault:
        listening.close()
        words = fault.strerror if isinstance(fault, OSError) else "no such port"
        raise InputError.single(
            "--port", f"{port} cannot be used ({words}); leave --port out to take a free one"
        ) from None
    return listening
