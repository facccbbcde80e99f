"""Dry fit and glue-up: the units of a job, the two pages of a unit at the phone, and the sheet on paper."""

from collections.abc import Sequence
from typing import Any

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from stopwright.actions.floor.gluing import (
    GlueStep,
    UnitAssembly,
    UnitStage,
    glues_for,
    label_in,
    unit_assembly,
    unit_stage,
)
from stopwright.actions.floor.sorting import PieceCard, UnitCard, piece_cards, unit_cards
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import NotFound
from stopwright.paper.afterwards import afterwards_told, units_told
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.paper.pdf import A4, LETTER
from stopwright.paper.wording import hardware_text
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.places import named_in_unit
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.joinery.tenons import tenon_marks
from stopwright.plan.operations.finish import WORK as FINISH
from stopwright.store.events import utc_now, written
from stopwright.web.drawings.ring import draw_ring
from stopwright.web.drawings.stage import draw_stage
from stopwright.web.kit.context import Web
from stopwright.web.kit.guard import FOR_PHONES
from stopwright.web.kit.script_data import as_script_data

DRY_FIT = "dry fit"
"""What pieces are scanned for before glue."""


def glue_routes(web: Web) -> APIRouter:
    """The routes of dry fit and glue-up."""
    routes = APIRouter(tags=FOR_PHONES)

    @routes.get("/jobs/{job}/glue-up")
    def units(request: Request, job: str) -> HTMLResponse:
        planned = web.planned(job)
        state = job_state(web.store, job)
        cards = unit_cards(piece_cards(web.store, job, planned))
        made = [(card, unit_assembly(planned, state, card.number)) for card in cards]
        plan = assembly_stages(planned.job)
        return web.job_page(
            request,
            "glue_up_units.html",
            job,
            planned,
            units=made,
            plan=plan,
            units_told=units_told,
            afterwards=tuple(afterwards_told(planned.job, plan, named_in_unit(planned.job), planned.shop.show)),
        )

    @routes.get("/jobs/{job}/glue-up.pdf")
    def sheet(job: str, page: str = "A4") -> Response:
        planned = web.planned(job)
        finishes = planned.shop.station_for(FINISH) is not None
        paper = LETTER if page == "Letter" else A4
        made = glue_up_pdf(planned.job, planned.shop.show, planned.shop.glues, paper, finishes)
        return Response(made, media_type="application/pdf", headers={"content-disposition": "inline"})

    @routes.get("/jobs/{job}/glue-up/{unit}/dry-fit")
    def dry_fit(request: Request, job: str, unit: int) -> HTMLResponse:
        planned = web.planned(job)
        made = unit_assembly(planned, job_state(web.store, job), unit)
        cards = _unit(web, job, planned, unit).cards
        facts = {
            "job": job,
            "unit": unit,
            "purpose": DRY_FIT,
            "pieces": [_facts(card) for card in cards],
            "joints": [joint.name for joint in made.joints],
        }
        return web.job_page(
            request,
            "dry_fit.html",
            job,
            planned,
            made=made,
            cards=cards,
            hardware=[hardware_text(need, in_one_unit=True) for need in planned.sheet.hardware],
            facts=as_script_data(facts),
            standing=as_script_data(_standing(web, job, unit)),
        )

    @routes.get("/jobs/{job}/glue-up/{unit}/standing")
    def standing(job: str, unit: int) -> dict[str, Any]:
        return _standing(web, job, unit)

    @routes.get("/jobs/{job}/glue-up/{unit}/{number}")
    def glue_up(request: Request, job: str, unit: int, number: int) -> HTMLResponse:
        planned = web.planned(job)
        made = unit_stage(planned, job_state(web.store, job), unit, number)
        whole = unit_assembly(planned, job_state(web.store, job), unit)
        glues = glues_for(planned)
        labels = [label_in(planned, piece, unit) for piece in made.stage.pieces]
        tenons = tenon_marks(planned.job, planned.shop)
        facts = {
            "job": job,
            "unit": unit,
            "stage": number,
            "steps": [_step(step, made) for step in made.steps],
            "glues": [{"name": g.name, "open": g.open_minutes, "clamp": g.clamp_minutes} for g in glues],
            "next": _next(whole, number),
        }
        return web.job_page(
            request,
            "glue_up.html",
            job,
            planned,
            made=made,
            whole=whole,
            with_tenons=sum(closing.joint in tenons for closing in made.stage.closings),
            glues=glues,
            drawing=_drawing(planned, made.stage, labels),
            facts=as_script_data(facts),
            standing=as_script_data(_standing(web, job, unit)),
        )

    return routes


def _drawing(planned: Planned, stage: Stage, labels: Sequence[str]) -> Markup:
    for ring in assembly_stages(planned.job).rings:
        if stage.all_round and ring.pieces[0] in stage.pieces:
            return draw_ring(planned.job, ring, stage, labels, planned.shop.show)
    return draw_stage(planned.job, stage, labels, planned.shop.show)


def _standing(web: Web, job: str, unit: int) -> dict[str, Any]:
    """How a unit stands: joints tried dry, pieces that are here, stages of glue-up; `now` is the bench's clock."""
    seq = web.store.last_seq  # looked at first: what came up to here is in what is read next
    state = job_state(web.store, job)
    stages = {
        str(number): {"begun": one.begun, "glue": one.glue, "closed": sorted(one.closed), "done": one.done}
        for (of, number), one in state.assembly.stages.items()
        if of == unit
    }
    here = [
        index for index, one in state.pieces.items() if not one.missing and (DRY_FIT in one.scanned or one.unit == unit)
    ]
    dry = sorted(state.assembly.dry.get(unit, ()))
    return {"seq": seq, "now": written(utc_now()), "dry": dry, "here": here, "stages": stages}


def _unit(web: Web, job: str, planned: Planned, unit: int) -> UnitCard:
    for card in unit_cards(piece_cards(web.store, job, planned)):
        if card.number == unit:
            return card
    raise NotFound(f"there is no unit {unit}", planned.job.name, f"choose one from 1 to {planned.job.units}")


def _facts(card: PieceCard) -> dict[str, Any]:
    piece = card.piece
    return {"code": card.code, "index": piece.index, "label": piece.label, "name": piece.name, "unit": piece.unit}


def _step(step: GlueStep, made: UnitStage) -> dict[str, Any]:
    """A step, with the numbers of the pieces in the picture that it is about."""
    shown = [made.stage.pieces.index(piece) for piece in step.shown]
    return {"name": step.name, "title": step.title, "words": step.words, "clamp": step.is_clamp, "shown": shown}


def _next(whole: UnitAssembly, number: int) -> int:
    """The stage after this one, 0 when it is the last."""
    return next((stage.stage.number for stage in whole.stages if stage.stage.number > number), 0)
