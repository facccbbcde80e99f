"""Job files (TOML), folders that hold one, and bare part lists to a Job; and a Job back to its file."""

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

import tomli_w

from stopwright.errors import BadInput, Fault, StopwrightError
from stopwright.intake.documents import Reading
from stopwright.intake.files import is_folder, read_file
from stopwright.intake.keys import Document, document_of
from stopwright.intake.part_list import PartList, read_part_list
from stopwright.intake.places import Path as Place
from stopwright.intake.scalars import number_in, shortened
from stopwright.intake.things import add_made, own_lines, read_things, with_lists
from stopwright.intake.toml_text import document_in
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.parts import Grain, Kind, Part, free_marks
from stopwright.plan.making.known import THINGS
from stopwright.plan.operations.known import CUTS

JOB_FILE = "job.toml"


@dataclass(frozen=True, slots=True)
class JobRead:
    """A job as read, with what of its part list was left out (with its place) and what may be looked at."""

    job: Job
    left_out: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()


def read_job(path: Path | str) -> Job:
    """The job in a job file, a folder that holds job.toml, or a bare part list (in mm). Raises BadInput."""
    return open_job(path).job


def open_job(path: Path | str) -> JobRead:
    """As `read_job`, with what was left out on the way."""
    path = Path(path)
    if is_folder(path):
        path = path / JOB_FILE
    if path.suffix.lower() != ".toml":
        return job_of_part_list(read_part_list(path), path.name)
    document, rows = document_in(read_file(path), str(path))
    return _job(document, Reading(str(path), rows), path.parent)


def job_of_part_list(parts: PartList, name: str, lengths: str = "mm") -> JobRead:
    """The job that a bare part list stands for, named for its file.

    >>> job_of_part_list(read_part_list("name,qty,l,w,t\\nLeg,4,450,38,38"), "garden-bench.csv").job.name
    'Garden bench'
    """
    return JobRead(Job(name_of_list(name), parts.parts, lengths=lengths), parts.left_out, parts.notes)


def name_of_list(file: str) -> str:
    """What a job made from a list is called unless it is said: the name of the file, in words.

    >>> name_of_list("garden_bench-2.csv")
    'Garden bench 2'
    """
    words = " ".join(PurePosixPath(file).stem.replace("-", " ").replace("_", " ").split()) or "Part list"
    return words[:1].upper() + words[1:]


def job_from_document(document: Mapping[str, Any], file: str, base: Path | None = None) -> Job:
    """The job that a document of the shape of a job file describes.

    `file` is what faults are said to be in; their row is the number of the table, from 1. `base` is the folder
    in which `part_list` is looked for; without it the parts must stand in the document. Raises BadInput.
    """
    return _job(document, Reading(file), base).job


def job_to_document(job: Job) -> Document:
    """The document of a job with its parts, lengths as text in its unit; `job_from_document` reads it back equal."""
    document: Document = {"name": job.name, "lengths": job.lengths, "units": job.units, "flow": job.flow.value}
    document |= document_of(job, job.lengths, leave_out=("parts", "joints", "mitres", "cuts", "things"))
    own = own_lines(job)
    lists: dict[str, Sequence[object]] = {"part": own.parts, "joint": own.joints, "mitre": own.mitres}
    tables = [(name, one) for name, several in lists.items() for one in several]
    tables += [(cut.kind, cut) for cut in own.cuts]
    tables += [(thing.kind, thing) for thing in job.things]
    for name, one in tables:
        document.setdefault(name, []).append(document_of(one, job.lengths))
    for part, table in zip(own.parts, document.get("part", ()), strict=True):
        if part.kind is Kind.SHEET:  # a sheet's grain is "any" unless it is said
            table["grain"] = part.grain.value
    return document


def document_of_job_file(data: bytes, file: str) -> Document:
    """The document that is kept of the bytes of a job file. Raises BadInput; a list beside it cannot be reached."""
    document, _ = document_in(data, file)
    return job_to_document(job_from_document(document, file))


def job_to_toml(job: Job) -> str:
    """The text of a job file that holds the whole job."""
    return tomli_w.dumps(job_to_document(job))


def _job(document: object, reading: Reading, base: Path | None) -> JobRead:
    if not isinstance(document, Mapping):
        raise BadInput([Fault(reading.file, 1, "file", "is not a job", "write name = … and its parts")])
    if document.get("lengths", "mm") in ("mm", "in"):
        reading.unit = document.get("lengths", "mm")
    others = ("part", "part_list", *CUTS, *THINGS)
    values = reading.values(Job, document, (), given=("parts", "cuts", "things"), also=others)
    units = values.get("units", 1)
    listed = _listed(document, reading, base, max(units, 1))
    parts = (*listed.parts, *_inline(document, reading, max(units, 1), [part.mark for part in listed.parts]))
    things = read_things(document, reading)
    made = add_made(values | {"parts": parts}, things, document, reading)
    if not made["parts"] and not reading.faults:
        reading.fault((), "has no parts", "write part_list = the name of a list, or [[part]] tables")
    cuts = tuple(_cuts(document, reading, None if reading.faults else {part.mark for part in made["parts"]}))
    job = None if reading.faults else reading.build(Job, made | {"cuts": (*cuts, *made["cuts"])}, ())
    reading.refuse_faults()
    assert job is not None  # a job that was not built has left a fault
    return JobRead(job, listed.left_out, listed.notes)


def _cuts(document: Mapping[str, Any], reading: Reading, marks: AbstractSet[str] | None) -> Iterator[Cut]:
    """The cuts of every kind; where a key holds a list, one value may stand for it.

    `marks` are those of the parts, None where a part could not be read: then nothing is said to be missing.
    """
    for name, kind in CUTS.items():
        tables = document.get(name, [])
        if not isinstance(tables, list):
            reading.fault((name,), "is not a list of tables", f"write it as [[{name}]]")
            continue
        for number, table in enumerate(tables):
            whole = with_lists(table, kind)
            cut = reading.table(kind, whole, (name, number))
            missing = () if marks is None else [(key, mark) for key, mark in _named(whole, kind) if mark not in marks]
            for key, mark in missing:
                text = f"names part {shortened(mark)}, which is not there"
                reading.fault((name, number, key), text, "name a part's mark")
            if cut:
                yield cut


def _named(table: object, kind: Any) -> Iterator[tuple[str, str]]:
    """The parts that the table of a cut names, as far as it can be read: the key, and the mark."""
    if not isinstance(table, Mapping):
        return
    for key in kind.naming():
        value = table.get(key, [])
        marks = value if isinstance(value, list) else [value]
        yield from ((key, str(mark)) for mark in marks if isinstance(mark, str | int) and mark != "")


def _listed(document: Mapping[str, Any], reading: Reading, base: Path | None, units: int) -> PartList:
    nothing = PartList((), {})
    named = document.get("part_list")
    if named is None:
        return nothing
    try:
        path = _within(named, base)
    except StopwrightError as error:
        reading.fault(("part_list",), error.what, error.next_step)
        return nothing
    try:
        return read_part_list(path, reading.unit, units=units)
    except BadInput as error:
        reading.faults += error.faults
        return nothing


def _within(named: object, base: Path | None) -> Path:
    """The file that is named, which must lie in the folder of the job: a job sent by somebody must not read more."""
    step = "put the list beside the job file and write its name"
    if not isinstance(named, str) or not named or not named.isprintable():
        raise StopwrightError("is not the name of a file", next_step=step)
    windows = PureWindowsPath(named)
    if windows.anchor or named.startswith("/") or ".." in windows.parts:
        raise StopwrightError(f"'{shortened(named)}' lies outside the folder of the job", next_step=step)
    if base is None:
        raise StopwrightError(
            f"'{shortened(named)}' cannot be reached from here", next_step="read the list in by itself"
        )
    path = base / named
    try:
        if not path.resolve().is_relative_to(base.resolve()):
            raise StopwrightError(f"'{shortened(named)}' leads outside the folder of the job", next_step=step)
        if not path.exists():
            raise StopwrightError(f"'{shortened(named)}' is not there", next_step=step)
    except (OSError, RuntimeError) as error:
        raise StopwrightError(f"'{shortened(named)}' leads nowhere", next_step=step) from error
    return path


def _inline(document: Mapping[str, Any], reading: Reading, units: int, taken: list[str]) -> list[Part]:
    tables = document.get("part")
    if tables is None:
        return []
    if not isinstance(tables, list):
        reading.fault(("part",), "is not a list of tables", "write it as [[part]]")
        return []
    marks = free_marks([str(table.get("mark") or "") if isinstance(table, Mapping) else "" for table in tables], taken)
    seen = set(taken)
    parts = []
    for number, (table, mark) in enumerate(zip(tables, marks, strict=True)):
        place: Place = ("part", number)
        if mark in seen:
            reading.fault((*place, "mark"), f"'{shortened(mark)}' stands already", "give every part its own mark")
        seen.add(mark)
        part = _part(table, reading, place, mark, units)
        if part:
            parts.append(part)
    return parts


def _part(table: object, reading: Reading, place: Place, mark: str, units: int) -> Part | None:
    if isinstance(table, Mapping):
        whole = {"mark": mark} | {key: value for key, value in table.items() if key != "mark" or value}
        if "per_unit" in whole:
            per_unit = whole.pop("per_unit")
            if "quantity" in whole:
                reading.fault((*place, "per_unit"), "is given beside a quantity", "leave one of the two out")
            else:
                try:
                    whole["quantity"] = max(number_in(per_unit, whole=True), 0) * units
                except StopwrightError as error:
                    reading.fault((*place, "per_unit"), error.what, error.next_step)
                    whole["quantity"] = units  # so that it is not called missing
        if str(whole.get("kind")).lower() == Kind.SHEET:
            whole.setdefault("grain", Grain.ANY.value)
        table = whole
    return reading.table(Part, table, place)
