"""Who may do what in `reagents`, and what each address needs.

The gate (`practicals.gate`) reads these two tables by name and refuses whatever is not in them.
"""

from collections.abc import Callable
from typing import Any

#: A rule answers for a person who is signed in; whether one object is theirs is a queryset's answer.
Rule = Callable[[Any], bool]

ANYONE = "anyone"
SIGNED_IN = "signed in"


def holding(*roles: str) -> Rule:
    """The rule of those who hold one of `roles` for the whole centre."""

    def rule(user: Any) -> bool:
        return any(user.holds(role) for role in roles)

    rule.__doc__ = " or ".join(roles)
    return rule


PERMISSIONS: dict[str, Rule] = {
    "reagents.see_requisitions": holding("technician"),
    "reagents.draw_up_requisition": holding("teacher", "technician"),
    "reagents.record_batch": holding("technician"),
    "reagents.see_batches": holding("technician", "teacher"),
    "reagents.recall_batch": holding("technician", "teacher"),
    "reagents.print_labels": holding("technician"),
    "reagents.manage_label_sheets": holding("technician"),
    "reagents.keep_stock": holding("technician"),
    "reagents.tick_prep": holding("technician"),
    "reagents.use_calculators": holding("technician", "teacher"),
}

URLS: dict[str, str] = {
    "prep:requisitions": "reagents.see_requisitions",
    "prep:requisition": "reagents.see_requisitions",
    "prep:requisition_pdf": "reagents.see_requisitions",
    "prep:day": "reagents.see_requisitions",
    "prep:day_pdf": "reagents.see_requisitions",
    "prep:week": "reagents.see_requisitions",
    "prep:week_pdf": "reagents.see_requisitions",
    "prep:tick": "reagents.tick_prep",
    "prep:record_batch": "reagents.record_batch",
    "prep:batch": "reagents.see_batches",
    "prep:recall_batch": "reagents.recall_batch",
    "prep:ventilation": "reagents.use_calculators",
    "prep:calculators": "reagents.use_calculators",
    "prep:mixture": "reagents.use_calculators",
    "prep:solution": "reagents.use_calculators",
    "prep:dilution": "reagents.use_calculators",
    "prep:series": "reagents.use_calculators",
    "prep:labels": "reagents.print_labels",
    "prep:labels_pdf": "reagents.print_labels",
    "prep:rack_labels": "reagents.print_labels",
    "prep:rack_labels_pdf": "reagents.print_labels",
    "prep:label_sheets": "reagents.manage_label_sheets",
    "prep:add_label_sheet": "reagents.manage_label_sheets",
    "prep:label_sheet": "reagents.manage_label_sheets",
    "prep:withdraw_label_sheet": "reagents.manage_label_sheets",
    "prep:label_frames": "reagents.manage_label_sheets",
    "stock:shelf": "reagents.keep_stock",
    "stock:receive": "reagents.keep_stock",
    "stock:order": "reagents.keep_stock",
    "stock:order_csv": "reagents.keep_stock",
    "stock:container": "reagents.keep_stock",
    "stock:open": "reagents.keep_stock",
    "stock:count": "reagents.keep_stock",
    "stock:take": "reagents.keep_stock",
    "stock:move": "reagents.keep_stock",
    "stock:discard": "reagents.keep_stock",
}
