"""The least a tap can cost: one row into SQLite behind the same web server, to measure ours against."""

import sqlite3
import sys
import threading
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI

from stopwright.web.serving import listen


def bare_app(file: Path) -> FastAPI:
    """Takes any JSON at `/` and answers when it is one row on disk (WAL, full sync, as our own log)."""
    db = sqlite3.connect(file, check_same_thread=False, isolation_level=None)
    db.execute("pragma journal_mode = wal")
    db.execute("pragma synchronous = full")
    db.execute("create table taps (seq integer primary key, body text not null) strict")
    pen = threading.Lock()
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)

    @app.post("/")
    def take(sent: dict[str, Any]) -> dict[str, int | None]:
        with pen:
            return {"seq": db.execute("insert into taps (body) values (?)", [str(sent)]).lastrowid}

    return app


if __name__ == "__main__":
    listening = listen("127.0.0.1", 0)
    print(f"Bare: http://127.0.0.1:{listening.getsockname()[1]} ", flush=True)
    uvicorn.Server(uvicorn.Config(bare_app(Path(sys.argv[1])), log_level="warning")).run(sockets=[listening])
