"""Runs the real server and its worker together, and stops both together."""

import os
import signal
import socket
import subprocess
import sys
import time
from types import FrameType
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.executor import MigrationExecutor

# Two processes of four threads had the steadiest answers on two cores with a class of 32 sending at once.
PROCESSES = 2
THREADS = 4
SECONDS_TO_START = 30
SECONDS_TO_STOP = 20
Children = dict[str, subprocess.Popen[bytes]]


class Command(BaseCommand):
    help = "Serve Wickmark with its worker. PORT (8000) and WICKMARK_BIND (127.0.0.1) say where."

    def handle(self, *args: Any, **options: Any) -> None:
        host, port = address()
        refuse_taken(host, port)
        refuse_unmigrated()
        call_command("tidy", verbosity=0)
        connections.close_all()  # the children open their own
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, leave)
        children: Children = {}
        try:
            children["server"] = start("-m", "gunicorn", *gunicorn_options(host, port))
            children["worker"] = start("manage.py", "qcluster")
            await_answer(children["server"], host, port)
            self.stdout.write(f"\nWickmark is at {shown(host, port)}  (Ctrl-C stops it)\n")
            self.stdout.flush()
            dead = first_to_end(children)
            code = children[dead].returncode
            raise CommandError(f"The {dead} ended by itself (exit {code}); all is stopped.")
        finally:
            stop(children)


def leave(_number: int, _frame: FrameType | None) -> None:
    """Turn a signal into the way out that stops the children, which a second one must not cut short."""
    for other in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(other, signal.SIG_IGN)
    raise SystemExit(0)


def address() -> tuple[str, int]:
    text = os.environ.get("PORT") or "8000"
    if not (text.isascii() and text.isdigit() and 0 < int(text) < 65536):
        raise CommandError(f"PORT is {text!r}; it must be a whole number from 1 to 65535, for example 8000.")
    return os.environ.get("WICKMARK_BIND") or "127.0.0.1", int(text)


def refuse_taken(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        # As gunicorn will: a port that was closed a moment ago counts as free.
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise CommandError(
                f"Wickmark cannot listen at {host}, port {port} ({error.strerror}). Is it running already? "
                f"Choose another port with PORT=, for example PORT={port + 1 if port < 65535 else 8000}."
            ) from error


def refuse_unmigrated() -> None:
    executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise CommandError("The database is not up to date: run 'python manage.py migrate' first.")


def gunicorn_options(host: str, port: int) -> list[str]:
    bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
    return [
        f"--bind={bind}",
        f"--workers={PROCESSES}",
        f"--threads={THREADS}",
        "--worker-class=gthread",
        "--graceful-timeout=10",
        "--log-level=warning",
        settings.WSGI_APPLICATION.replace(".application", ":application"),
    ]


def start(*arguments: str) -> subprocess.Popen[bytes]:
    # A session of its own: Ctrl-C in the terminal then reaches this command alone, which stops both in order.
    return subprocess.Popen(  # noqa: S603 - our own interpreter with arguments from this file
        [sys.executable, *arguments], cwd=settings.BASE_DIR, start_new_session=True
    )


def await_answer(server: subprocess.Popen[bytes], host: str, port: int) -> None:
    reachable = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)  # noqa: S104 - compared, not bound
    deadline = time.monotonic() + SECONDS_TO_START
    while server.poll() is None and time.monotonic() < deadline:
        try:
            socket.create_connection((reachable, port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    if server.poll() is None:
        raise CommandError(f"The server did not answer within {SECONDS_TO_START} seconds; all is stopped.")


def shown(host: str, port: int) -> str:
    if host in {"0.0.0.0", "::"}:  # noqa: S104 - compared, not bound
        host = socket.gethostname()
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def first_to_end(children: Children) -> str:
    while True:
        for name, child in children.items():
            if child.poll() is not None:
                return name
        time.sleep(0.5)


def stop(children: Children) -> None:
    for child in children.values():
        if child.poll() is None:
            child.terminate()
    deadline = time.monotonic() + SECONDS_TO_STOP
    for child in children.values():
        try:
            child.wait(max(0.1, deadline - time.monotonic()))
        except subprocess.TimeoutExpired:
            # The child leads a group of its own, so this ends its processes too and nobody else's.
            os.killpg(child.pid, signal.SIGKILL)
            child.wait()
