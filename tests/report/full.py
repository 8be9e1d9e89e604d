"""Content as full as a call can make it: many readings, names without end, many photos."""

from __future__ import annotations

import io
from dataclasses import replace

from PIL import Image

from rungwise.report import Layout, Paper
from rungwise.report.content import (
    CustomerPage,
    Figure,
    FittedPart,
    Head,
    Measured,
    Photo,
    Picture,
    Price,
    Signed,
    Step,
    TechnicianRecord,
    Zone,
)
from rungwise.report.content_practice import Made, Point, PracticeScore

UNBROKEN = "Maplehollowfinchbellweatherquarrycourtoutdoorunitonthenorthwall" * 2
LONG = f"The household of Finch, Bellweather and Okoro-Lindqvist, {UNBROKEN}"
READINGS = 40
PHOTOS = 12

HEAD = Head(
    shop=("Hollow Cooling", "2 Creamery Road, Maple Hollow", "555 0100"),
    title=f"No cooling upstairs {LONG}",
    day="2026-07-14",
    unit=f"14 Mill Street, 3 tons {UNBROKEN}",
    place=LONG,
    customer=LONG,
    technician="R. Amari",
    people=("R. Amari", LONG),
    plate=(("Maker", "Hollow Air"), ("Serial", UNBROKEN)),
)
SIGNED = Signed(f"It cools again. {LONG}", "R. Amari, 2026-07-14 17:02", LONG)
BY = "R. Amari, 2026-07-14 10:02"

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 390 900" width="390" height="900">'
    '<rect x="1" y="1" width="388" height="898" fill="none" stroke="black"/>'
    '<text x="20" y="40" font-size="11">contactor.T1</text></svg>'
)


def readings(count: int = READINGS) -> tuple[Measured, ...]:
    """Readings with everything that can stand at one."""
    return tuple(
        Measured(
            title=f"ohms number {at} from board.Y to C at the control board {_now_and_then(at)}",
            text=UNBROKEN if at % 6 == 0 else "2.4 to 13.8 MΩ",
            good="in (99%), or 223 to 245 V, or OL",
            verdict="not" if at % 3 else "good",
            said=("strongly against: yellow wire board.Y to float_switch.1, open",),
            note=f"taken twice\n{UNBROKEN}" if at % 4 == 0 else "",
            by=BY,
        )
        for at in range(1, count + 1)
    )


def _now_and_then(at: int) -> str:
    return UNBROKEN if at % 5 == 0 else ""


def photo_bytes(at: int) -> bytes:
    """A photo, upright or lying."""
    written = io.BytesIO()
    size = (300, 160) if at % 2 else (120, 320)
    Image.new("RGB", size, (20 * at, 90, 120)).save(written, "JPEG")
    return written.getvalue()


def full_record(layout: Layout) -> Paper:
    """Technician report."""
    photos = tuple(Photo(f"photo-{at}.jpg", f"contactor {UNBROKEN}", BY) for at in range(PHOTOS))
    content = TechnicianRecord(
        head=HEAD,
        note=f"Gate code with the neighbour.\n{LONG}",
        cause=tuple(f"Thought {at}: {LONG}" for at in range(5)),
        looked=readings(6),
        readings=readings(),
        remarks=(LONG,),
        zones=(_zone(),),
        fitted=(FittedPart(LONG, "contactor", "fits with changes", (LONG, UNBROKEN), BY),),
        wires=(LONG,),
        moves=(LONG,),
        started=(LONG,),
        pictures=(Picture("Ladder diagram", LONG, "a ladder", ("a.svg", "b.svg", "c.svg")),),
        proof=(LONG, UNBROKEN),
        proofs=readings(12),
        gauges=(("refrigerant: suction pressure", "124 psi"), ("air: return dry", UNBROKEN)),
        figures=(Figure(LONG, "caution", UNBROKEN), Figure("Sag 2.3%.", "worthless", "NEC")),
        look_for=(LONG,),
        photos=photos,
        not_measured=tuple(f"{at}: {LONG}" for at in range(9)),
        signed=SIGNED,
    )
    files = {each.file: photo_bytes(at) for at, each in enumerate(photos)}
    files |= dict.fromkeys(("a.svg", "b.svg", "c.svg"), DRAWING.encode())
    return Paper("technician", content, layout, files)


def full_page(layout: Layout) -> Paper:
    """Customer report."""
    photos = tuple(Photo(f"photo-{at}.jpg", f"contactor {UNBROKEN}", BY) for at in range(6))
    content = CustomerPage(
        head=HEAD,
        visit=(("invoice", UNBROKEN), ("arrived", "10:02"), ("left", LONG)),
        headline=LONG,
        run=UNBROKEN,
        found=(LONG, UNBROKEN),
        explained=LONG,
        done=(LONG,),
        checked=readings(),
        ran=LONG,
        next_step=(LONG,),
        watch=(LONG,),
        recommend=(LONG, UNBROKEN),
        not_measured=(LONG,),
        prices=(Price(LONG, "38.50 $"), Price("labour", "180 $")),
        total="218.50 $",
        warranty=LONG,
        next_visit=LONG,
        call_us=LONG,
        warning=LONG,
        photos=photos,
        signed=SIGNED,
    )
    files = {each.file: photo_bytes(at) for at, each in enumerate(photos)}
    return Paper("customer", content, layout, files)


def full_score(layout: Layout) -> Paper:
    """The score of a practice call."""
    content = PracticeScore(
        head=replace(HEAD, customer="", people=(), plate=()),
        level=LONG,
        score=61.0,
        found=False,
        fault=LONG,
        to_do=LONG,
        behind=UNBROKEN,
        severity=(LONG,),
        points=(Point(LONG, -12.5),),
        own=(("checks", "9"), ("minutes", "31")),
        tool=(("answer", UNBROKEN),),
        made=tuple(Made(LONG, UNBROKEN, -0.31, LONG, 1.25, at == 1, at == 2) for at in range(20)),
        tool_made=((LONG, UNBROKEN),),
        named=(LONG,),
    )
    return Paper("practice", content, layout)


def _zone() -> Zone:
    steps = tuple(
        Step(at, "outdoor unit", LONG if at % 6 == 0 else "Measure one-pole contactor L1 to earth.",
             "below 5 V AC", UNBROKEN if at % 7 == 0 else "0.3 V", "done" if at % 5 else "not so",
             BY)
        for at in range(1, 29)
    )  # fmt: skip
    return Zone("outdoor unit", (("DANGER", LONG),), steps, "9 of 13 readings.", (LONG,))
