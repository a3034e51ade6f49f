"""Django's PostgreSQL, with the embedded server behind it where no DATABASE_URL is given."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import psycopg
from django.db.backends.postgresql import base, client
from django.db.utils import DEFAULT_DB_ALIAS

from stockist.database import binaries, cluster, server
from stockist.database.creation import DatabaseCreation
from stockist.database.errors import NoServer

_SECONDS_TO_RECOVER = 120
# What is prepared is planned once, whatever the values. Left to itself the server plans "= ANY" of
# one key afresh at every question, since it expects ten: twice as long as the answer takes.
_PLAN_ONCE = "-c plan_cache_mode=force_generic_plan"


class DatabaseClient(client.DatabaseClient):
    """`manage.py dbshell` finds the psql that comes with the server."""

    @classmethod
    def settings_to_cmd_args_env(
        cls, settings_dict: dict[str, Any], parameters: Any
    ) -> tuple[list[str], dict[str, str] | None]:
        arguments, environment = super().settings_to_cmd_args_env(settings_dict, parameters)
        if settings_dict.get("FOLDER"):
            arguments[0] = str(binaries.folder() / "psql")
        return arguments, environment


class DatabaseWrapper(base.DatabaseWrapper):
    """Starts the embedded server on the first connection, and finds it again if it was killed."""

    creation_class = DatabaseCreation
    client_class = DatabaseClient

    def __init__(self, settings_dict: dict[str, Any], alias: str = DEFAULT_DB_ALIAS) -> None:
        super().__init__(settings_dict, alias)
        self._address: server.Address | None = None
        self._served: Path | None = None

    @property
    def data(self) -> Path | None:
        """Where the embedded server keeps its data; None for a server of the shop's own."""
        folder = self.settings_dict.get("FOLDER")
        return Path(folder) if folder else None

    def get_connection_params(self) -> dict[str, Any]:
        if self.data is not None:
            if self._address is None or self._served != self.data:
                careless = self.settings_dict.get("CARELESS", False)
                self._address = server.serve(self.data, careless=careless)
                self._served = self.data
            self.settings_dict["HOST"] = str(self._address.folder)
            self.settings_dict["PORT"] = str(self._address.port)
            self.settings_dict["USER"] = cluster.SUPERUSER
        params: dict[str, Any] = super().get_connection_params()
        params["options"] = f"{params.get('options', '')} {_PLAN_ONCE}".strip()
        return params

    def get_new_connection(self, conn_params: dict[str, Any]) -> Any:
        try:
            return self._connect_patiently(conn_params)
        except psycopg.OperationalError:
            if self.data is None or server.running(self.data):
                raise
        self._address = None  # it was killed: start it again, and ask once more
        return self._connect_patiently(self.get_connection_params())

    def _connect_patiently(self, conn_params: dict[str, Any]) -> Any:
        until = time.monotonic() + _SECONDS_TO_RECOVER
        while True:
            try:
                return super().get_new_connection(conn_params)
            except psycopg.OperationalError as error:
                if self._is_missing_database(error):
                    _create_database(conn_params)
                elif "the database system is" not in str(error):  # starting up, in recovery
                    raise
                elif time.monotonic() > until:
                    raise NoServer(
                        f"PostgreSQL is still recovering after {_SECONDS_TO_RECOVER} seconds. "
                        "Wait a little and try again; its own log says how far it has come."
                    ) from error
                else:
                    time.sleep(0.2)

    def _is_missing_database(self, error: psycopg.OperationalError) -> bool:
        # A failed connection carries no SQLSTATE, only the server's words, in its own language C.
        name = self.settings_dict["NAME"]
        missing = f'database "{name}" does not exist' in str(error)
        return missing and self.data is not None and not str(name).startswith("test_")


def _create_database(conn_params: dict[str, Any]) -> None:
    keep = {key: conn_params[key] for key in ("host", "port", "user")}
    name = psycopg.sql.Identifier(conn_params["dbname"])
    with psycopg.connect(dbname="postgres", autocommit=True, **keep) as connection:
        try:
            connection.execute(psycopg.sql.SQL("CREATE DATABASE {}").format(name))
        except (psycopg.errors.DuplicateDatabase, psycopg.errors.UniqueViolation):
            return  # another process was quicker
