"""What lets a phone open its pages without network: the service worker, over HTTPS or on this machine only."""

from pathlib import Path

from fastapi import APIRouter
from starlette.responses import FileResponse


def kept_routes(frontend: Path) -> APIRouter:
    """The worker's script, at the top of all addresses: a worker may only serve what lies below its own."""
    routes = APIRouter()

    @routes.get("/worker.js")
    def worker() -> FileResponse:
        return FileResponse(frontend / "scripts" / "worker.js", media_type="text/javascript")

    return routes
