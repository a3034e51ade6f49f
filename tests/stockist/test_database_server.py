"""The embedded server by itself: started, shared, killed, found again, stopped; refused in words.

Every server here is one of its own, in a folder that goes away with the test.
"""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

import psutil
import psycopg
import pytest
from django.db import DatabaseError, connections

from stockist.database import binaries, cluster, server, sharing
from stockist.database.base import DatabaseWrapper
from stockist.database.errors import NoServer
from tests.support.source import ROOT

needs_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root starts it as somebody else")


@pytest.fixture(autouse=True)
def _connections_are_allowed(django_db_blocker):
    with django_db_blocker.unblock():
        yield
    if hasattr(connections._connections, "own"):
        connections["own"].close()
        del connections["own"]


@pytest.fixture(scope="module")
def ready_made():
    """Data made once and copied for each test, since making takes longer than the rest."""
    folder = Path(tempfile.mkdtemp(prefix="st-"))
    folder.chmod(0o755)
    cluster.prepare(folder / "postgres", user=binaries.stand_in(folder / "postgres"))
    yield folder / "postgres"
    shutil.rmtree(folder)


@pytest.fixture
def copied(ready_made, monkeypatch):
    """The server finds its data made as soon as it asks for it."""

    def copy(data: Path, user: str | None) -> None:
        subprocess.run(["cp", "-a", ready_made, data], check=True)

    monkeypatch.setattr(cluster, "_make", copy)


@pytest.fixture
def top():
    """A short folder that others may enter; pytest's own is private, and a socket's path is not."""
    folder = Path(tempfile.mkdtemp(prefix="st-"))
    folder.chmod(0o755)
    yield folder
    for data in [path.parent for path in folder.rglob("postmaster.pid")]:
        server.stop(data)
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def data(top, copied):
    """Where a server of its own keeps its data; stopped at the end."""
    yield top / "postgres"
    server.release(top / "postgres")


def wrapper(data: Path, name: str = "stockist") -> DatabaseWrapper:
    settings = {"ENGINE": "stockist.database", "NAME": name, "FOLDER": data, "CARELESS": True}
    empty = {"USER": "", "PASSWORD": "", "HOST": "", "PORT": "", "OPTIONS": {}}
    rest = {"TIME_ZONE": None, "CONN_MAX_AGE": 0, "CONN_HEALTH_CHECKS": False, "AUTOCOMMIT": True}
    database = DatabaseWrapper({**settings, **empty, **rest, "TEST": {}}, alias="own")
    connections["own"] = database  # what is connected looks itself up by its name
    return database


def ask(database: DatabaseWrapper, sql: str = "SELECT 1") -> object:
    with database.cursor() as cursor:
        cursor.execute(sql)
        row = cursor.fetchone() if cursor.description else None
    return row and row[0]


def postmaster(data: Path) -> psutil.Process:
    return psutil.Process(int((data / "postmaster.pid").read_text().split()[0]))


def gone(number: int) -> bool:
    """Whether this process has ended; where nobody collects the dead it stays as a zombie."""
    try:
        return psutil.Process(number).status() == psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return True


def kill(data: Path) -> None:
    """Kill the whole server as a power cut would."""
    parent = postmaster(data)
    family = [*parent.children(recursive=True), parent]
    parent.kill()
    for process in family:
        if process.is_running():
            process.kill()
    psutil.wait_procs(family, timeout=10)


SCRIPT = """
import sys, time
from pathlib import Path
from stockist.database import server
address = server.serve(Path(sys.argv[1]), careless=True)
print(address.socket, flush=True)
sys.stdin.read()
"""


def another_process(data: Path) -> subprocess.Popen:
    """A process that uses the server until its input is closed."""
    process = subprocess.Popen(
        [sys.executable, "-c", SCRIPT, data],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline().strip()
    return process


def leave(process: subprocess.Popen) -> None:
    process.communicate(timeout=30)


def test_nothing_is_started_before_the_first_connection(data):
    database = wrapper(data)
    assert not data.exists()
    assert ask(database) == 1
    assert server.running(data)
    database.close()


def test_a_database_is_made_with_the_builtin_locale(data):
    database = wrapper(data)
    sql = "SELECT datlocprovider::text || datlocale FROM pg_database WHERE datname = 'stockist'"
    assert ask(database, sql) == "bC.UTF-8"
    database.close()


def test_nobody_else_may_look_in(data):
    server.serve(data, careless=True)
    assert data.stat().st_mode & 0o077 == 0
    with psycopg.connect(host=str(data), user="postgres", dbname="postgres") as connection:
        assert connection.execute("SHOW listen_addresses").fetchone() == ("",)


def test_it_is_found_again_after_being_killed_and_nothing_committed_is_lost(data):
    database = wrapper(data)
    ask(database, "CREATE TABLE tyre (name text)")
    ask(database, "INSERT INTO tyre VALUES ('kept')")
    ask(database, "CHECKPOINT")
    first = postmaster(data).pid
    kill(data)
    database.close()
    assert ask(database, "SELECT name FROM tyre") == "kept"
    assert postmaster(data).pid != first
    database.close()


def test_a_stale_number_that_another_process_has_now_is_not_taken_for_the_server(data):
    server.serve(data, careless=True)
    kill(data)
    lines = (data / "postmaster.pid").read_text().splitlines()
    (data / "postmaster.pid").write_text("\n".join([str(os.getpid()), *lines[1:]]) + "\n")
    assert server.running(data) is None
    assert server.serve(data, careless=True) == server.running(data)


def test_a_half_written_number_does_no_harm(data):
    server.serve(data, careless=True)
    kill(data)
    (data / "postmaster.pid").write_text("")
    assert server.serve(data, careless=True)


def test_two_processes_share_it_and_the_last_one_out_stops_it(data):
    first, second = another_process(data), another_process(data)
    number = postmaster(data).pid
    leave(first)
    assert server.running(data)
    assert postmaster(data).pid == number
    leave(second)
    assert server.running(data) is None
    assert gone(number)


def test_a_killed_user_is_not_counted_any_more(data):
    killed, other = another_process(data), another_process(data)
    killed.kill()
    killed.wait(10)
    assert server.running(data)
    leave(other)
    assert server.running(data) is None


def test_a_fork_still_counts_when_its_parent_has_gone(data):
    server.serve(data, careless=True)
    handle = server._used[data]
    inherited = os.dup(handle)  # what a forked worker has
    server.release(data)
    assert server.running(data)
    with sharing.alone(data):
        assert sharing.leave(data, inherited)


def test_eight_at_once_start_one_server(data):
    found = []
    threads = [threading.Thread(target=lambda: found.append(server.serve(data))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len(found) == 8
    assert len(set(found)) == 1


def test_a_long_path_moves_the_socket(top, copied):
    data = top / ("long-" * 20) / "postgres"
    address = server.serve(data, careless=True)
    assert len(str(address.socket)) < 104
    assert not address.folder.is_relative_to(top)
    assert ask(wrapper(data)) == 1
    server.release(data)
    shutil.rmtree(address.folder)


@pytest.mark.parametrize("sign", ['a "b" $c; d', "a,b"])
def test_a_path_with_awkward_signs(top, copied, sign):
    data = top / sign / "postgres"
    database = wrapper(data)
    assert ask(database) == 1
    database.close()
    place = server.running(data).folder
    server.release(data)
    shutil.rmtree(place, ignore_errors=True)


def test_connecting_waits_while_the_server_recovers(data, monkeypatch):
    database = wrapper(data)
    starting = iter([True, True, False])
    plain = psycopg.connect

    def connect(*args, **kwargs):
        if next(starting, False):
            raise psycopg.OperationalError("FATAL:  the database system is starting up")
        return plain(*args, **kwargs)

    monkeypatch.setattr("django.db.backends.postgresql.base.Database.connect", connect)
    assert ask(database) == 1
    database.close()


def test_but_not_for_ever(data, monkeypatch):
    def connect(*args, **kwargs):
        raise psycopg.OperationalError("FATAL:  the database system is in recovery mode")

    monkeypatch.setattr("django.db.backends.postgresql.base.Database.connect", connect)
    monkeypatch.setattr("stockist.database.base._SECONDS_TO_RECOVER", 0.3)
    with pytest.raises(NoServer, match="still recovering"):
        ask(wrapper(data))


def test_a_first_start_that_was_killed_leaves_nothing_half_made(top):
    data = top / "postgres"
    beside = data.with_name("postgres.new")
    beside.mkdir()
    (beside / "PG_VERSION").write_text("18\n")
    assert ask(wrapper(data)) == 1
    assert not beside.exists()
    server.release(data)


def test_a_terminated_command_takes_the_server_with_it(top):
    code = "import manage; manage.main(['manage.py', 'shell', '-v0', '-c', "
    code += repr(
        "from django.db import connection; connection.cursor(); print('up', flush=True);"
        "import time; time.sleep(60)"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code + "])"],
        cwd=ROOT,
        env={**os.environ, "DATA_FOLDER": str(top)},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline().strip() == "up"
    process.send_signal(signal.SIGTERM)
    assert process.wait(30) == 128 + signal.SIGTERM
    assert server.running(top / "postgres") is None


# --- Refused in words ------------------------------------------------------------------------


def refused(data: Path) -> str:
    with pytest.raises(NoServer) as error:
        server.serve(data)
    sentence = str(error.value)
    assert sentence.endswith(".")
    assert "DATABASE_URL=postgresql://" in sentence
    return sentence


def test_no_server_for_this_platform(data, monkeypatch):
    monkeypatch.setattr(binaries.importlib.util, "find_spec", lambda name: None)
    assert "No PostgreSQL server comes with the project for this platform" in refused(data)


def test_data_of_another_version(data):
    server.serve(data, careless=True)
    server.release(data)
    (data / "PG_VERSION").write_text("16\n")
    assert "was made by PostgreSQL 16, and this is PostgreSQL 18" in refused(data)


def test_something_else_in_its_place(data):
    data.mkdir()
    (data / "notes.txt").write_text("mine")
    assert "is not a PostgreSQL database either" in refused(data)
    assert (data / "notes.txt").read_text() == "mine"


def test_a_folder_that_is_a_file(top):
    (top / "file").write_text("")
    assert "cannot be kept in" in refused(top / "file" / "postgres")


def test_damaged_data_tells_what_the_server_said(data):
    server.serve(data, careless=True)
    server.release(data)
    (data / "postgresql.conf").write_text("shared_buffers = nonsense\n")
    sentence = refused(data)
    assert sentence.startswith("PostgreSQL did not start: ")
    assert str(data / "server.log") in sentence


def as_nobody(call: Callable[[], str]) -> str:
    """What a call answers in a fork of this process that has given up being root."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        nobody = pwd.getpwnam("nobody")
        try:
            os.setgroups([])
            os.setgid(nobody.pw_gid)
            os.setuid(nobody.pw_uid)
            os.write(writing, call().encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as answer:
        text = answer.read()
    os.waitpid(child, 0)
    return text


@needs_root
def test_root_inside_a_private_home(top):
    home = top / "home"
    home.mkdir(mode=0o700)
    sentence = refused(home / "shop" / "postgres")
    assert f"may not enter {home}, which is private" in sentence
    assert home.stat().st_mode & 0o777 == 0o700


@needs_root
def test_data_of_another_person(data):
    server.serve(data, careless=True)
    server.release(data)
    nobody = pwd.getpwnam("nobody")
    os.chown(data, nobody.pw_uid, nobody.pw_gid)
    assert "belongs to nobody. Run as nobody" in refused(data)


@needs_root
def test_data_of_a_person_who_is_gone(data):
    server.serve(data, careless=True)
    server.release(data)
    os.chown(data, 54321, 54321)
    assert "belongs to user number 54321" in refused(data)


@needs_root
def test_an_ordinary_person_in_roots_folder(top, copied):
    server.serve(top / "postgres", careless=True)
    server.release(top / "postgres")
    assert "Run as the user whose data this is" in as_nobody(lambda: refused(top / "postgres"))


@needs_root
def test_no_way_of_making_a_user(data, monkeypatch):
    monkeypatch.setattr(binaries, "ROOTS_STAND_IN", "stockist_nobody_has_this")
    monkeypatch.setattr(binaries.shutil, "which", lambda name: "/bin/false")
    assert "no user stockist_nobody_has_this could be made" in refused(data)


def test_a_socket_folder_that_somebody_else_put_there(top, copied):
    data = top / ("long-" * 20) / "postgres"
    cluster.make_parents(data)
    user = binaries.stand_in(data)
    cluster.prepare(data, user=user)
    place = server._socket_folder(data, user)
    place.rmdir()
    place.symlink_to(top)
    try:
        assert "belongs to somebody else" in refused(data)
    finally:
        place.unlink()
        server.release(data)


def test_a_server_that_is_not_there_is_no_database_error_of_another_kind():
    assert issubclass(NoServer, DatabaseError)


def test_an_own_server_that_does_not_answer_is_left_to_django():
    settings = {"ENGINE": "stockist.database", "NAME": "x", "USER": "x", "PASSWORD": "x"}
    where = {"HOST": "127.0.0.1", "PORT": "1", "OPTIONS": {"connect_timeout": 2}}
    rest = {"TIME_ZONE": None, "CONN_MAX_AGE": 0, "CONN_HEALTH_CHECKS": False, "AUTOCOMMIT": True}
    started = time.monotonic()
    with pytest.raises(DatabaseError):
        ask(DatabaseWrapper({**settings, **where, **rest, "TEST": {}}, alias="own"))
    assert time.monotonic() - started < 10
