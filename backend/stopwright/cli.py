"""The command line: calls the actions and prints the answer. Exit 0 done, 1 a rule of the shop broken, 2 bad input,
130 broken off.

Every command loads what it needs when it runs, so that help and a short list are answered at once.
"""

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from stopwright.errors import BadInput, StopwrightError
from stopwright.paper.terminal_signs import print_line_by_line

if TYPE_CHECKING:
    from stopwright.actions.jobs.file_planning import Planned
    from stopwright.model.stations import Shop
    from stopwright.web.serving import Serving

SHOP_LOG = "shop.sqlite"
DONE, RULE_BROKEN, BAD_INPUT = 0, 1, 2
BROKEN_OFF = 130
"""What a command ends with after Ctrl-C by the custom of shells: 128 and the number of the signal."""


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit code; a fault is one sentence on stderr, never a traceback."""
    try:
        print_line_by_line()
        arguments = _parser().parse_args(argv)
        return int(arguments.command(arguments))
    except BadInput as bad:
        for fault in bad.faults:
            print(fault, file=sys.stderr)
        return BAD_INPUT
    except StopwrightError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return DONE
    except OSError as error:
        if error.filename is not None:
            raise
        print(f"what it says cannot be written ({error.strerror}); write it to another place", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("broken off", file=sys.stderr)
        return BROKEN_OFF


def _plan(arguments: argparse.Namespace) -> int:
    from stopwright.actions.jobs.file_planning import plan_file
    from stopwright.paper.run_sheet_text import run_sheet_text
    from stopwright.plan.choices import Choices

    choices = Choices(soonest=arguments.soonest)
    planned = plan_file(arguments.job, _shop(arguments), choices)
    if arguments.alternatives or arguments.choose is not None:
        from stopwright.actions.jobs.comparing import chosen_of, compared
        from stopwright.paper.front_text import front_text

        front = compared(planned.job, planned.shop)
        if arguments.alternatives:
            print(front_text(front), end="")
            return DONE
        choices = replace(chosen_of(front, arguments.choose), soonest=arguments.soonest)
        planned = plan_file(arguments.job, _shop(arguments), choices)
    if arguments.json:
        from stopwright.plan.run_sheet_json import run_sheet_json

        print(json.dumps(run_sheet_json(planned.sheet, planned.shop.show), indent=1))
    else:
        print(run_sheet_text(planned.sheet, planned.shop.show), end="")
    _left_out(planned)
    return RULE_BROKEN if planned.sheet.faults else DONE


def _check(arguments: argparse.Namespace) -> int:
    from stopwright.actions.jobs.file_planning import plan_file
    from stopwright.model.counts import counted

    planned = plan_file(arguments.job, _shop(arguments))
    _left_out(planned)
    for kind, remarks in (("fault", planned.sheet.faults), ("look at", planned.sheet.warnings)):
        for remark in remarks:
            print(f"{kind}: {remark.about}: {remark.text}")
    numbers = {
        "part": len(planned.job.parts),
        "piece": sum(part.quantity for part in planned.job.parts),
        "fault": len(planned.sheet.faults),
    }
    print(f"{planned.job.name}: {', '.join(counted(number, thing) for thing, number in numbers.items())}")
    return RULE_BROKEN if planned.sheet.faults else DONE


def _labels(arguments: argparse.Namespace) -> int:
    from stopwright.actions.jobs.file_planning import plan_file
    from stopwright.actions.jobs.labelling import grid_from, job_labels_pdf
    from stopwright.model.counts import counted

    planned = plan_file(arguments.job, _shop(arguments))
    pdf = job_labels_pdf(planned, arguments.number, grid_from(arguments.sheet), arguments.address, arguments.start)
    try:
        arguments.output.write_bytes(pdf)
    except OSError as error:
        raise StopwrightError(
            f"cannot be written ({error.strerror})", str(arguments.output), "name another file"
        ) from error
    print(f"{counted(sum(part.quantity for part in planned.job.parts), 'label')} in {arguments.output}")
    return RULE_BROKEN if planned.sheet.faults else DONE


def _serve(arguments: argparse.Namespace) -> int:
    from stopwright.intake.shop_file import default_shop
    from stopwright.store.log import Store
    from stopwright.web.serving import data_file, serve

    with Store.open(data_file(arguments.data, SHOP_LOG)) as store:
        serve(store, _shop(arguments) or default_shop(), _serving(arguments))
    return DONE


def _demo(arguments: argparse.Namespace) -> int:
    from stopwright.actions.jobs.keeping import jobs
    from stopwright.actions.jobs.planning import bring_job, plan_for
    from stopwright.actions.jobs.shipped import demo_jobs
    from stopwright.intake.shop_file import default_shop
    from stopwright.paper.run_sheet_text import run_sheet_text
    from stopwright.store.log import Store
    from stopwright.web.serving import data_file, serve

    with Store.open(data_file(arguments.data, "demo.sqlite")) as store:
        shop = _shop(arguments) or default_shop()
        for folder in reversed(demo_jobs()):
            bring_job(store, folder)
        planned = plan_for(store, jobs(store)[0].job, shop)
        print(run_sheet_text(planned.sheet, planned.shop.show))
        serve(store, shop, _serving(arguments))
    return DONE


def _backup(arguments: argparse.Namespace) -> int:
    from stopwright.store.backup import copy_log

    copy_log(_log(arguments), arguments.file)
    print(f"Everything is in {arguments.file}")
    return DONE


def _restore(arguments: argparse.Namespace) -> int:
    from stopwright.store.backup import restore
    from stopwright.store.events import utc_now
    from stopwright.web.serving import data_file

    aside = restore(arguments.file, data_file(arguments.data, SHOP_LOG), utc_now())
    print(f"Restored from {arguments.file}" + (f"; what stood before is kept in {aside}" if aside else ""))
    return DONE


def _export_job(arguments: argparse.Namespace) -> int:
    from stopwright.store.log import Store
    from stopwright.store.whole_job import export_job

    with Store.open(_log(arguments)) as store:
        lines = export_job(store, arguments.number)
        try:
            with arguments.file.open("x", encoding="utf-8") as out:
                out.writelines(lines)
        except OSError as error:
            raise StopwrightError(
                f"cannot be written ({error.strerror})", str(arguments.file), "name another file"
            ) from error
    print(f"Job {arguments.number} is in {arguments.file}")
    return DONE


def _import_job(arguments: argparse.Namespace) -> int:
    from stopwright.store.events import utc_now
    from stopwright.store.log import Store
    from stopwright.store.whole_job import read_whole_job, take_in
    from stopwright.web.serving import data_file

    try:
        text = arguments.file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise StopwrightError("cannot be read", str(arguments.file), "name a file that export-job wrote") from error
    with Store.open(data_file(arguments.data, SHOP_LOG)) as store:
        taken = take_in(store, read_whole_job(text, str(arguments.file), utc_now()))
    held = "the labels on its pieces hold" if taken.labels_hold else "its number was taken: print its labels anew"
    print(f"Job {taken.job}; {held}")
    return DONE


def _log(arguments: argparse.Namespace) -> Path:
    """The log that is there already."""
    from stopwright.web.serving import data_file

    path = data_file(arguments.data, SHOP_LOG)
    if not path.exists():
        raise StopwrightError("there is nothing kept yet", str(path), "name the folder with --data")
    return path


def _serving(arguments: argparse.Namespace) -> "Serving":
    from stopwright.web.access.announcing import host_name
    from stopwright.web.serving import Serving

    host_name(arguments.name)
    return Serving(arguments.port, arguments.phones, arguments.tls, arguments.name)


def _left_out(planned: "Planned") -> None:
    for line in (*planned.left_out, *planned.notes):
        print(line, file=sys.stderr)


def _shop(arguments: argparse.Namespace) -> "Shop | None":
    from stopwright.intake.shop_file import read_shop

    return read_shop(arguments.shop) if arguments.shop else None


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="stopwright",
        description="Turns a part list into the fewest machine settings, each made once, and steps through them.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    plan = commands.add_parser("plan", help="print the run sheet of a job")
    _job_arguments(plan)
    plan.add_argument("--json", action="store_true", help="print it as JSON")
    plan.add_argument("--alternatives", action="store_true", help="list the plans to choose from, by number")
    plan.add_argument("--choose", type=int, metavar="N", help="print plan N of that list")
    plan.add_argument("--soonest", action="store_true", help="where the shop says its day, in the order done soonest")
    plan.set_defaults(command=_plan)
    check = commands.add_parser("check", help="read a job and say what is wrong with it")
    _job_arguments(check)
    check.set_defaults(command=_check)
    labels = commands.add_parser("labels", help="write the labels of all pieces as a PDF, in the order off the saw")
    _job_arguments(labels)
    labels.add_argument("-o", "--output", type=Path, required=True, metavar="FILE.pdf", help="where to write them")
    labels.add_argument("--sheet", default="A4", help="A4, Letter, a roll such as 57x32, or a grid in mm")
    labels.add_argument("--start", type=int, default=1, help="the first label still on the sheet, counted from 1")
    labels.add_argument("--number", type=int, default=1, help="the job's number on the bench (default 1)")
    labels.add_argument("--address", default="http://stopwright.local:8765", help="where the bench is reached")
    labels.set_defaults(command=_labels)
    serving = commands.add_parser("serve", help="serve bench and phone pages")
    _serving_arguments(serving)
    serving.set_defaults(command=_serve)
    kept: tuple[tuple[str, str, str, Callable[[argparse.Namespace], int]], ...] = (
        ("backup", "write everything that is kept to one file, also while it is served", "a new file", _backup),
        ("restore", "put a copy back in place; what stands there now is set aside", "a copy", _restore),
        ("export-job", "write one job with all that happened to it", "a new file", _export_job),
        ("import-job", "take in a job that export-job wrote", "a file that export-job wrote", _import_job),
    )
    for name, does, file, command in kept:
        keeping = commands.add_parser(name, help=does)
        if name == "export-job":
            keeping.add_argument("number", metavar="N", help="the job's number on the bench")
        keeping.add_argument("file", type=Path, metavar="FILE", help=file)
        _data_argument(keeping)
        keeping.set_defaults(command=command)
    demo = commands.add_parser("demo", help="print the run sheet of the demo job and serve it")
    _serving_arguments(demo)
    demo.set_defaults(command=_demo)
    return parser


def _job_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("job", type=Path, metavar="JOB", help="a job file, a folder holding job.toml, or a part list")
    _shop_argument(parser)


def _serving_arguments(parser: argparse.ArgumentParser) -> None:
    _shop_argument(parser)
    parser.add_argument("--port", type=int, default=8765, help="where the pages are served (default 8765)")
    parser.add_argument("--phones", action="store_true", help="listen to the shop's network too, and pair phones")
    parser.add_argument("--tls", action="store_true", help="serve over HTTPS too, with a certificate of the shop's own")
    parser.add_argument(
        "--name", default="stopwright", help="the name on the network: stopwright gives stopwright.local"
    )
    _data_argument(parser)


def _data_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--data", type=Path, metavar="FOLDER", help="where everything is kept")


def _shop_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--shop", type=Path, metavar="FILE", help="a shop file; without it the default shop")
