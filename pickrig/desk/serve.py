"""Run the desk on this machine's own address."""

import socket
from collections.abc import Callable
from pathlib import Path

from pickrig.errors import OutputError
from pickrig.facts import Said
from pickrig.quantities import System
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules

_HERE = "127.0.0.1"


def serve(folder: Path, rules: Rules, port: int, units: System | None, tongue: str, say: Callable[[str], None]) -> None:
    """Serve until Ctrl-C. Raises OutputError: a library is missing, no such folder, the port is taken."""
    try:
        import uvicorn

        from pickrig.desk.app import build
    except ImportError as error:
        raise OutputError(Said("fault.no_library", name=str(error.name))) from error
    if not folder.is_dir():
        raise OutputError(Said("fault.no_folder", file=str(folder)))
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((_HERE, port))
        except OSError as error:
            raise OutputError(Said("fault.port_taken", port=str(port), reason=str(error.strerror))) from error
        port = listening.getsockname()[1]
        address = f"http://{_HERE}:{port}/"
        say(Voice(tongue).text("desk_open_at", address=address, folder=str(folder.resolve())))
        config = uvicorn.Config(
            build(folder, rules, port, units, tongue), log_level="warning", server_header=False, limit_concurrency=50
        )
        uvicorn.Server(config).run(sockets=[listening])
