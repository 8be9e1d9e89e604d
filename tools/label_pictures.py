"""Invented nameplates and part labels as photos: drawn, then turned, tilted, blurred and lit.

Makers, models and serials are invented. Fonts are those of the system (DejaVu).
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

__all__ = ["Label", "draw_label", "photographed"]

FONTS = Path("/usr/share/fonts/truetype/dejavu")
FACES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSansCondensed.ttf",
         "DejaVuSansCondensed-Bold.ttf", "DejaVuSansMono.ttf")  # fmt: skip
MAKERS = ("HOLLOW AIR", "LARKFIELD COMFORT", "BROOKMERE", "TARN & PIKE", "MAPLE CLIMATE")
INKS = ((25, 25, 28), (20, 30, 70), (60, 20, 20), (240, 240, 240))
GROUNDS = ((226, 226, 220), (200, 203, 205), (245, 240, 215), (30, 32, 36))
REFRIGERANTS = ("R-410A", "R-22", "R-32", "R-454B")
FUSES = (15, 20, 25, 30, 35, 40, 45, 50, 60)
LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"


@dataclass
class Label:
    """A label: its rows, each of one or more columns, and the fields that it tells."""

    rows: list[tuple[str, ...]]
    truth: dict[str, str] = field(default_factory=dict)


def draw_label(sort: str, random_: random.Random) -> Label:
    """A plate, a capacitor's, a contactor's or a motor's label with figures of its own."""
    return {"plate": _plate, "capacitor": _capacitor, "contactor": _contactor, "motor": _motor}[
        sort
    ](random_)


def _plate(r: random.Random) -> Label:
    rla = round(r.uniform(6.0, 30.0), 1)
    lra, fla = round(rla * r.uniform(4.2, 6.2)), round(r.uniform(0.5, 2.8), 1)
    mca = round(1.25 * rla + fla, 1)
    fuse = min((each for each in FUSES if each >= mca * 1.2), default=60)
    line = f"{_letters(r, 2)}{r.choice('0123456789')}"
    model = f"{line}-{r.choice((18, 24, 30, 36, 42, 48, 60))}{r.choice(LETTERS)}"
    serial = f"{r.randint(1000, 9999)} {r.choice(LETTERS)} {r.randint(10000, 99999)}"
    truth = {
        "model": model, "serial": serial, "volt": "208/230", "phases": "1", "hz": "60",
        "rla_a": f"{rla}", "lra_a": f"{lra}", "fan_fla_a": f"{fla}", "mca_a": f"{mca}",
        "mocp_a": f"{fuse}", "refrigerant": r.choice(REFRIGERANTS),
        "made": f"{r.randint(1, 12):02}/{r.randint(2004, 2026)}",
    }  # fmt: skip
    rows = r.choice((_rows_of_pairs, _rows_of_table, _rows_in_columns))(r, truth)
    return Label([(r.choice(MAKERS),), *rows], truth)


def _rows_of_pairs(r: random.Random, t: Mapping[str, str]) -> list[tuple[str, ...]]:
    hp = r.choice(("1/4", "1/5", "1/6", "1/3"))
    return [
        (f"MODEL NO. {t['model']}",), (f"SERIAL NO. {t['serial']}",),
        (f"VOLTS {t['volt']}  PH {t['phases']}  HZ {t['hz']}",),
        (f"COMPRESSOR  RLA {t['rla_a']}  LRA {t['lra_a']}",),
        (f"FAN MOTOR  FLA {t['fan_fla_a']}  HP {hp}",),
        (f"MIN. CIRCUIT AMPACITY {t['mca_a']}",),
        (f"MAX. FUSE OR CKT. BKR. {t['mocp_a']} A",),
        (f"FACTORY CHARGE {t['refrigerant']}  {r.randint(4, 12)} LB {r.randint(0, 15)} OZ",),
        (f"MFG DATE {t['made']}",),
    ]  # fmt: skip


def _rows_of_table(r: random.Random, t: Mapping[str, str]) -> list[tuple[str, ...]]:
    del r
    return [
        ("MODEL", "SERIAL"), (t["model"], t["serial"]),
        ("VOLTS", "PHASE", "HERTZ"), (t["volt"], t["phases"], t["hz"]),
        ("COMPR. RLA", "COMPR. LRA", "FAN FLA"), (t["rla_a"], t["lra_a"], t["fan_fla_a"]),
        ("MCA", "MOP", "DATE OF MFR"), (t["mca_a"], t["mocp_a"], t["made"]),
        (f"REFRIGERANT {t['refrigerant']}",),
    ]  # fmt: skip


def _rows_in_columns(r: random.Random, t: Mapping[str, str]) -> list[tuple[str, ...]]:
    del r
    return [
        ("M/N", t["model"]), ("S/N", t["serial"]),
        ("VOLTAGE", f"{t['volt']} V", f"{t['phases']} PH", f"{t['hz']} HZ"),
        ("COMPRESSOR", f"R.L.A. {t['rla_a']}", f"L.R.A. {t['lra_a']}"),
        ("OUTDOOR FAN", f"F.L.A. {t['fan_fla_a']}"),
        ("MINIMUM CIRCUIT AMPS", t["mca_a"]), ("MAXIMUM OVERCURRENT PROTECTION", t["mocp_a"]),
        ("REFRIG.", t["refrigerant"]), ("MFR. DATE", t["made"]),
    ]  # fmt: skip


def _capacitor(r: random.Random) -> Label:
    herm, fan = r.choice((25, 30, 35, 40, 45, 50, 55, 60, 80)), r.choice(("5", "7.5", "10"))
    volt, unit = r.choice(("370", "440", "370/440")), r.choice(("µF", "MFD", "uF"))
    truth = {"volt": volt}
    if r.random() < 0.7:
        truth["uf"] = f"{herm}+{fan}"
        value = f"{herm}{r.choice(('+', '/'))}{fan} {unit}"
    else:
        truth["uf"] = f"{herm}"
        value = f"{herm} {unit}"
    rows: list[tuple[str, ...]] = [
            (r.choice(MAKERS),), (f"{value} ±{r.choice((5, 6))}%",), (f"{volt} VAC 50/60 Hz",),
            ("PROTECTED AFC 10 000",), (f"CAT. NO. C{r.randint(100, 999)}",)]  # fmt: skip
    return Label(rows, truth)


def _contactor(r: random.Random) -> Label:
    amps = r.choice((20, 25, 30, 40))
    truth = {"coil_volt": "24", "fla_a": f"{amps}", "lra_a": f"{5 * amps}",
             "resistive_a": f"{amps + 10}"}  # fmt: skip
    if r.random() < 0.5:
        rows: list[tuple[str, ...]] = [
            ("COIL 24 VAC 50/60 HZ",),
            (f"FLA {amps}", f"LRA {5 * amps}"),
            (f"RES {amps + 10}",),
        ]
    else:
        rows = [("COIL 24V 60HZ",), (f"{amps} FLA  {5 * amps} LRA  {amps + 10} RES",)]
    return Label([(r.choice(MAKERS),), ("CONTACTOR  2 POLE",), *rows], truth)


def _motor(r: random.Random) -> Label:
    hp, rpm = r.choice(("1/4", "1/6", "1/3", "1/2")), r.choice((825, 1075, 1100))
    amps, uf = round(r.uniform(0.6, 2.6), 1), r.choice(("5", "7.5", "10"))
    truth = {"hp": hp, "rated_rpm": f"{rpm}", "fla_a": f"{amps}", "uf": uf, "volt": "208/230"}
    rows: list[tuple[str, ...]] = [
        (f"HP {hp}", f"RPM {rpm}"), ("VOLTS 208-230", "PH 1", "HZ 60"),
        (f"FLA {amps}", f"CAP {uf} MFD"), ("THERMALLY PROTECTED",),
    ]  # fmt: skip
    return Label([(r.choice(MAKERS),), *rows], truth)


def _letters(r: random.Random, count: int) -> str:
    return "".join(r.choice(LETTERS) for _ in range(count))


def photographed(label: Label, r: random.Random) -> bytes:
    """The label as somebody's phone took it, as a JPEG."""
    photo = _tilted(_drawn(label, r), r)
    photo = _lit(photo, r).filter(ImageFilter.GaussianBlur(r.choice((0.0, 0.4, 0.8, 1.2))))
    noise = np.random.default_rng(r.randrange(2**32)).normal(
        0.0, r.uniform(1.0, 7.0), (*photo.size[::-1], 3)
    )
    points = np.clip(np.asarray(photo, dtype=np.float64) + noise, 0, 255).astype(np.uint8)
    written = io.BytesIO()
    Image.fromarray(points).save(written, "JPEG", quality=r.randint(55, 92))
    return written.getvalue()


def _drawn(label: Label, r: random.Random) -> Image.Image:
    size = r.randint(20, 34)
    font = ImageFont.truetype(str(FONTS / r.choice(FACES)), size)
    number = r.randrange(len(INKS))
    ink, ground = INKS[number], GROUNDS[number]
    wide = max(760, int(max(font.getlength("  ".join(row)) for row in label.rows)) + 140)
    high = int(len(label.rows) * size * 1.75) + 70
    plate = Image.new("RGB", (wide, high), ground)
    pen = ImageDraw.Draw(plate)
    pen.rectangle((8, 8, wide - 9, high - 9), outline=ink, width=2)
    for number, row in enumerate(label.rows):
        y, lead = 35 + int(number * size * 1.75), 40
        for column, text in enumerate(row):
            pen.text((lead + column * (wide - 80) // len(row), y), text, font=font, fill=ink)
    return plate


def _tilted(plate: Image.Image, r: random.Random) -> Image.Image:
    """On a ground of its own, turned by up to 10 degrees and tilted."""
    wide, high = plate.size
    ground = Image.new("RGB", (wide + 240, high + 240), tuple(r.randint(60, 170) for _ in range(3)))
    ground.paste(plate, (120, 120))
    turned = ground.rotate(r.uniform(-10.0, 10.0), resample=Image.Resampling.BICUBIC, expand=False)
    w, h = turned.size

    def off(share: float) -> float:
        return r.uniform(-share, share)

    ends = [(off(0.04) * w, off(0.04) * h), (off(0.04) * w, h + off(0.04) * h),
            (w + off(0.04) * w, h + off(0.04) * h), (w + off(0.04) * w, off(0.04) * h)]  # fmt: skip
    quad = tuple(each for point in ends for each in point)
    return turned.transform((w, h), Image.Transform.QUAD, quad, resample=Image.Resampling.BICUBIC)


def _lit(photo: Image.Image, r: random.Random) -> Image.Image:
    """Light that falls off to one side, and in every second photo a spot of glare."""
    wide, high = photo.size
    x, y = np.meshgrid(np.linspace(-1, 1, wide), np.linspace(-1, 1, high))
    way = r.uniform(0, 2 * math.pi)
    light = 1.0 + r.uniform(0.0, 0.3) * (x * math.cos(way) + y * math.sin(way))
    points = np.asarray(photo, dtype=np.float64) * (r.uniform(0.65, 1.05) * light)[:, :, None]
    if r.random() < 0.5:
        cx, cy, reach = r.uniform(-0.8, 0.8), r.uniform(-0.8, 0.8), r.uniform(0.1, 0.3)
        spot = np.exp(-(((x - cx) ** 2 + (y - cy) ** 2) / reach**2)) * r.uniform(80, 190)
        points = points + spot[:, :, None]
    return Image.fromarray(np.clip(points, 0, 255).astype(np.uint8))
