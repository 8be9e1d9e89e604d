"""Bringing the files that people write into a store: unit files, call files, whole folders."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path
from typing import Any

from rungwise.diagnosis import Call as CallFile
from rungwise.diagnosis import Outcome, checks_of, read_call
from rungwise.files import Document
from rungwise.records.by_hand import keep_by_hand
from rungwise.records.proof_text import proof_lines_in, value_in
from rungwise.records.rows import Call, Customer, Unit
from rungwise.records.unit_of_work import UnitOfWork
from rungwise.replacement import read_candidate, read_candidates
from rungwise.rewiring import read_wires
from rungwise.unit import Unit as WholeUnit
from rungwise.unit import read_unit
from rungwise.verification import own_checks, seconds_card, told_of
from rungwise.wording import mark


@dataclass(frozen=True)
class FolderIntake:
    """What a folder brought. passed_over: its files that are neither of a unit nor of a call."""

    units: tuple[Unit, ...]
    calls: tuple[Call, ...]
    passed_over: tuple[Path, ...]


def bring_folder(book: UnitOfWork, folder: Path) -> FolderIntake:
    """Bring in all unit files and call files of a folder, in the order of their names.

    Raises BadInput for the first file that cannot be used.
    """
    read = {path: Document.read(path).data for path in sorted(folder.glob("*.toml"))}
    calls = [path for path, data in read.items() if "unit" in data]
    units = [path for path, data in read.items() if _is_unit(data)]
    return FolderIntake(
        tuple(bring_unit(book, path) for path in units),
        tuple(bring_call(book, path) for path in calls),
        tuple(path for path in read if path not in {*calls, *units}),
    )


def bring_unit(book: UnitOfWork, path: Path) -> Unit:
    """The unit of a unit file, with its owner and address; the one in the store if it is there.

    Raises BadUnitFile for a file that cannot be used.
    """
    unit, text = read_unit(path), _text(path)
    plate: Mapping[str, Any] = tomllib.loads(text).get("nameplate", {})
    return _unit(book, unit.title, text, plate)


def bring_call(book: UnitOfWork, path: Path) -> Call:
    """The call of a call file, with its unit, readings, part fitted and wires.

    Raises BadInput for a file that cannot be used, or a reading that its check cannot have.
    """
    file = read_call(path)
    unit = file.unit()
    outcomes = file.outcomes(check.card for check in checks_of(unit))
    held = _unit_of(book, file)
    if file.installed and held.installed is None:
        book.units.leave(held.id, "installed", file.installed.isoformat())
    call = book.calls.open(
        held.id, title=file.title, suspected=file.suspected, day=file.date,
        complaint=file.complaint,
        note=_head_comment(file.document.text), technician_id=_person(book, file.technician),
        customer_id=_customer(book, file.customer).id if file.customer else None,
    )  # fmt: skip
    _take(book, call.id, file, outcomes)
    _bring_fitted(book, call.id, file, unit)
    _bring_wires(book, call.id, file, unit)
    _bring_proof(book, call.id, file, unit)
    keep_by_hand(book, call.id, file.paper)
    return call


def _is_unit(data: Mapping[str, Any]) -> bool:
    return "unit" not in data and bool({"arrangement", "nameplate", "parts"} & set(data))


def _text(path: Path) -> str:
    return path.read_bytes().decode("utf-8")


def _unit_of(book: UnitOfWork, file: CallFile) -> Unit:
    if file.unit_path is not None:
        return bring_unit(book, file.unit_path)
    shipped = f'arrangement = "{file.unit_name}"\n'
    return _unit(book, file.unit().title or file.unit_name, shipped, {})


def _unit(book: UnitOfWork, title: str, text: str, plate: Mapping[str, Any]) -> Unit:
    same = next((each for each in book.units.all() if each.toml == text), None)
    if same is not None:
        return same
    site_id = None
    if plate.get("address"):
        owner = _customer(book, str(plate["owner"])).id if plate.get("owner") else None
        street, _, town = str(plate["address"]).partition(",")
        site_id = _site(book, owner, street.strip(), town.strip())
    return book.units.add(title, toml=text, site_id=site_id)


def _site(book: UnitOfWork, owner: int | None, street: str, town: str) -> int:
    for each in book.sites.all():
        if (each.customer_id, each.address, each.town) == (owner, street, town):
            return each.id
    return book.sites.add(owner, street, town=town).id


def _customer(book: UnitOfWork, name: str) -> Customer:
    same = [each for each in book.customers.all() if each.name == name.strip()]
    return same[0] if same else book.customers.add(name)


def _person(book: UnitOfWork, name: str) -> int | None:
    if not name:
        return None
    shop = book.shop.only()
    held = book.persons.named(name)
    return (held or book.persons.add(name, zone=shop.zone if shop else "UTC")).id


def _head_comment(text: str) -> str:
    """The comment on top of a file, which says what it is about."""
    head = takewhile(lambda line: line.startswith("#"), text.splitlines())
    return "\n".join(line.removeprefix("#").strip() for line in head)


def _take(book: UnitOfWork, call_id: int, file: CallFile, outcomes: tuple[Outcome, ...]) -> None:
    told = len(file.symptoms)
    for entry, outcome in zip(file.symptoms, outcomes[:told], strict=True):
        book.symptoms.take(call_id, entry.check, str(entry.typed), value=outcome.value)
    for entry, outcome in zip(file.readings, outcomes[told:], strict=True):
        book.readings.take(
            call_id, entry.check, str(entry.typed), value=outcome.value, unit=outcome.card.unit,
            note=entry.note, again=True,
        )  # fmt: skip


def _bring_fitted(book: UnitOfWork, call_id: int, file: CallFile, unit: WholeUnit) -> None:
    table = file.fitted
    if table is None:
        return
    if "file" not in table:
        candidate, facts = read_candidate(table, unit), dict(table.data)
    else:
        path = Path(file.document.file).parent / table.text("file")
        name = table.text("name")
        held = {each.name: each for each in read_candidates(path, unit)}
        rows = {each["name"]: each for each in tomllib.loads(_text(path))["candidates"]}
        if name not in held:
            raise table.bad(
                "name", what=mark("The candidate file names no such part."), value=name,
                allowed=", ".join(held), next_step=mark("write one of its names"),
            )  # fmt: skip
        candidate, facts = held[name], rows[name]
    book.fitted.fit(call_id, candidate.parts[0], facts)


def _bring_wires(book: UnitOfWork, call_id: int, file: CallFile, unit: WholeUnit) -> None:
    if not file.wires:
        return
    path = Path(file.document.file).parent / file.wires
    read_wires(path, unit)
    text = _text(path)
    stage = "as left" if "as_left" in tomllib.loads(text) else "as found"
    book.wires.record(call_id, stage, text)


def _bring_proof(book: UnitOfWork, call_id: int, file: CallFile, unit: WholeUnit) -> None:
    """What was measured after the repair; told_of refuses with its line what cannot be used."""
    if file.proof is None:
        return
    checks = (*checks_of(unit), *own_checks(unit))
    cards = {each.id: each for each in (*(it.card for it in checks), seconds_card())}
    told_of(file.proof, unit, cards)
    for line in proof_lines_in(file.proof.data):
        card = cards.get(line.check)
        book.proofs.take(
            call_id, line.check, line.typed, note=line.note, again=card is not None,
            value=value_in(card, line.typed, unit.hz) if card else None,
            unit=card.unit if card else "",
        )  # fmt: skip
