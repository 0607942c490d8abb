"""The server and its worker start together, answer, and end together."""

import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
SECONDS = 40


def environment_in(home):
    """A real server's environment with a data folder of its own, whatever the tests' own database is."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("WICKMARK_", "DJANGO_", "DATABASE_URL", "PYTEST_", "COV_"))
    }
    return kept | {"WICKMARK_HOME": str(home), "PORT": str(free_port())}


@pytest.fixture
def environment(tmp_path):
    return environment_in(tmp_path / "home")


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """A data folder that is ready to be served; to make one takes longer than the tests of serving it."""
    home = tmp_path_factory.mktemp("prepared")
    for command in (["migrate", "-v", "0"], ["collectstatic", "--noinput", "-v", "0"]):
        done = manage(environment_in(home), *command)
        assert done.returncode == 0, done.stderr
    return home


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def manage(environment, *arguments):
    return subprocess.run(
        [sys.executable, "manage.py", *arguments],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=SECONDS * 3,
        check=False,
    )


@pytest.fixture
def address(prepared):
    return environment_in(prepared)


@pytest.fixture
def served(address, tmp_path):
    printed = tmp_path / "printed"
    with printed.open("w") as out:
        server = subprocess.Popen(
            [sys.executable, "manage.py", "serve"],
            cwd=ROOT,
            env=address,
            stdout=out,
            stderr=subprocess.STDOUT,
        )
    try:
        # It listens a moment before it has said where.
        until(lambda: server.poll() is not None or (answers(address) and "http://" in printed.read_text()))
        assert server.poll() is None, printed.read_text()
        yield server
    finally:
        if server.poll() is None:
            server.terminate()
            server.wait(SECONDS)


def until(holds):
    deadline = time.monotonic() + SECONDS
    while time.monotonic() < deadline:
        if holds():
            return True
        time.sleep(0.1)
    return False


def answers(environment):
    connection = http.client.HTTPConnection("127.0.0.1", int(environment["PORT"]), timeout=5)
    try:
        connection.request("GET", "/")
        # Any answer will do: what the page says is for the journeys' tests.
        return connection.getresponse().status > 0
    except OSError:
        return False
    finally:
        connection.close()


def children_of(pid):
    """Processes whose parent, or whose parent's parent, is the one given, by what the kernel says."""
    parents = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                parents[int(entry.name)] = int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1])
            except OSError:
                continue  # it ended meanwhile
    direct = {child for child, parent in parents.items() if parent == pid}
    return direct | {child for child, parent in parents.items() if parent in direct}


def alive(pid):
    try:
        return (Path("/proc") / str(pid) / "stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_says_where_it_is_and_a_signal_stops_server_and_worker(served, address, tmp_path, number):
    assert f"http://127.0.0.1:{address['PORT']}/" in (tmp_path / "printed").read_text()
    started = children_of(served.pid)
    assert len(started) >= 4  # the server, its two processes, and the worker
    served.send_signal(number)
    assert served.wait(SECONDS) == 0
    assert until(lambda: not any(alive(pid) for pid in started))
    assert not answers(address)


@pytest.mark.slow
def test_when_a_part_dies_all_stops_and_the_exit_says_so(served, tmp_path):
    started = children_of(served.pid)
    worker = next(
        pid
        for pid in started
        if b"qcluster" in (Path("/proc") / str(pid) / "cmdline").read_bytes() and os.getpgid(pid) == pid
    )
    os.kill(worker, signal.SIGTERM)
    assert served.wait(SECONDS) != 0
    assert "worker ended by itself" in (tmp_path / "printed").read_text()
    assert until(lambda: not any(alive(pid) for pid in started))


def test_a_port_in_use_is_said_in_a_sentence(environment):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", int(environment["PORT"])))
        taken.listen()
        done = manage(environment, "serve")
    assert done.returncode != 0
    assert f"port {environment['PORT']}" in done.stderr
    assert "PORT=" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("port", ["http", "-1", "0", "65536", "8 000", "8000.5"])
def test_what_is_no_port_is_refused_in_a_sentence(environment, port):
    done = manage(environment | {"PORT": port}, "serve")
    assert done.returncode != 0
    assert repr(port) in done.stderr
    assert "whole number" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_database_without_its_tables_is_refused_in_a_sentence(environment):
    done = manage(environment, "serve")
    assert done.returncode != 0
    assert "migrate" in done.stderr
    assert "Traceback" not in done.stderr
