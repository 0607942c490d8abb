"""What a label says: of a bottle, of one layer, of a coded unknown, of a rack of vials."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from reagents.calculations.hazards import Classification
from reagents.calculations.label_elements import (
    on_the_label,
    pictograms_for,
    precautions_for,
    signal_word_for,
)
from reagents.calculations.label_fit import Words
from reagents.calculations.preparation import SIGNS, Sign
from reagents.calculations.substances import UnknownSubstance, statement
from reagents.documents.label_contents import Contents, contents_of
from reagents.models import Batch

NOTICE = "Short wording of ours: the legal wording and the supplier's safety data sheet come first."
CODED = "Coded sample: teacher and technician have the key."
NOT_KNOWN = "Hazards not known here: read the data sheets."
PARTLY_KNOWN = "Not every ingredient is known here: read the data sheets."
NO_CLASS = "No hazard class by the rules used here; that is no promise that it is harmless."


@dataclass(frozen=True)
class Label:
    """What stands on one label, before it is laid out; `doubts` are for whoever prints it only.

    `holds_ml` is what its container holds at least, 0 where that is not known.
    """

    words: Words
    signs: tuple[Sign, ...]
    link: str
    link_says: str
    doubts: tuple[str, ...] = ()
    holds_ml: Decimal = Decimal(0)


def bottle_label(batch: Batch, *, layer: str, link: str, invented: bool = False) -> Label:
    """The label of a batch's bottle, or of the one of its layers that goes into the bottle.

    A coded unknown shows its code and hazards, nothing of what it holds.
    """
    holds = contents_of(batch, layer)
    code = _label_code(batch)
    hazards, precautions = _sentences([holds.hazards] if holds.hazards else [], named=not code)
    title = code or batch.recipe.title
    return Label(
        words=Words(
            title=f"{title}: {holds.layer}" if holds.layer and not code else title,
            contents=(CODED,) if code else (holds.said,),
            signal_word=holds.hazards.signal_word if holds.hazards else "",
            hazards=(*hazards, *_gaps([holds], bool(hazards))),
            precautions=precautions,
            data=_data(batch.code, batch.made_at, batch.use_by, batch.initials),
            notices=(_notice(invented),),
        ),
        signs=_signs(holds.hazards.pictograms if holds.hazards else ()),
        link=link,
        link_says=f"QR code that leads to the page of batch {batch.code}",
        doubts=holds.doubts,
    )


def rack_label(title: str, batches: Sequence[Batch], *, link: str, invented: bool = False) -> Label:
    """One label for a rack of vials: their names or codes, and the hazards of all of them together."""
    held = [contents_of(batch, "") for batch in batches]
    known = [one.hazards for one in held if one.hazards]
    every = {code for one in known for code in one.every_code}
    coded = any(_label_code(batch) for batch in batches)
    hazards, precautions = _sentences(known, named=not coded)
    ends = [batch.use_by for batch in batches if batch.use_by]
    vials = ", ".join(f"{_label_code(batch) or batch.recipe.title} ({batch.code})" for batch in batches)
    return Label(
        words=Words(
            title=f"Rack: {title}",
            contents=(f"{len(batches)} vial{'' if len(batches) == 1 else 's'}: {vials}",),
            signal_word=signal_word_for(every),
            hazards=(*hazards, *_gaps(held, bool(hazards))),
            precautions=precautions,
            data=_data(
                "",
                min(batch.made_at for batch in batches),
                min(ends, default=None),
                " ".join(dict.fromkeys(batch.initials for batch in batches)),
            ),
            notices=(_notice(invented),),
        ),
        signs=_signs(pictograms_for(every)),
        link=link,
        link_says="QR code that leads to the requisition of these vials",
        doubts=tuple(dict.fromkeys(doubt for one in held for doubt in one.doubts)),
    )


def name_on_label(batch: Batch) -> str:
    """The code of a coded unknown, else that of the batch: a document of that name gives nothing away."""
    return _label_code(batch) or str(batch.code)


def _label_code(batch: Batch) -> str:
    return str(batch.line.label_code) if batch.line else ""


def _sentences(hazards: Sequence[Classification], *, named: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Hazard and precaution sentences; where nothing may be named, no sensitiser is."""
    if len(hazards) == 1 and named:
        return hazards[0].hazard_sentences, hazards[0].precaution_sentences
    codes = on_the_label({code for one in hazards for code in one.every_code})
    return (
        tuple(f"{code}: {_short(code)}" for code in codes),
        tuple(f"{code}: {_short(code)}" for code in precautions_for(codes)),
    )


def _short(code: str) -> str:
    try:
        return statement(code).short
    except UnknownSubstance:
        return "read the data sheet."


def _gaps(held: Sequence[Contents], anything: bool) -> tuple[str, ...]:
    """What must be said where the rules could not tell, so that no label is silently empty."""
    if all(one.hazards is None for one in held):
        return (NOT_KNOWN,)
    if any(one.hazards is None or one.hazards.unknown for one in held):
        return (PARTLY_KNOWN,)
    return () if anything else (NO_CLASS,)


def _signs(codes: Sequence[str]) -> tuple[Sign, ...]:
    return tuple(Sign(code, SIGNS[code]) for code in codes if code in SIGNS)


def _notice(invented: bool) -> str:
    return f"{NOTICE} Invented demo data." if invented else NOTICE


def _data(code: str, made: datetime, use_by: datetime | None, initials: str) -> tuple[str, ...]:
    ends = f"use by {_day(use_by)}, {timezone.localtime(use_by):%H:%M}" if use_by else "use by: no date set"
    return (*([f"Batch {code}"] if code else []), f"made {_day(made)}", ends, f"by {initials}")


def _day(moment: datetime) -> str:
    local = timezone.localtime(moment)
    return f"{local.day} {local:%b %Y}"
