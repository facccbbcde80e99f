"""What ships with the program: its pages, and the demo jobs; beside the package when installed, else in the tree."""

from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2]
TREE = PACKAGE.parent.parent


def frontend() -> Path:
    """The folder with pages, styles and scripts."""
    return _first(PACKAGE / "frontend", TREE / "frontend")


def demo_jobs() -> tuple[Path, ...]:
    """The folders of the demo jobs, the one that is shown first at the head."""
    fixtures = _first(PACKAGE / "demo", TREE / "fixtures")
    return (fixtures / "bakery-stools", fixtures / "library-drawers")


def _first(*folders: Path) -> Path:
    return next(folder for folder in folders if folder.is_dir())
