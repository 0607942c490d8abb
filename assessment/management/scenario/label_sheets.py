"""The sheets of labels that lie in the prep room: invented, named by their measures."""

from decimal import Decimal

from practicals.models import User
from reagents.actions.save_label_sheet import save_label_sheet
from reagents.calculations.label_layout import Sheet

#: Rows, columns; width and height; left and top margin; from edge to edge across and down [mm].
SHEETS = {
    "16 to a sheet, 52 × 74 mm, touching": (4, 4, "52", "74", "1", "0.5", "52", "74"),
    "8 to a sheet, 105 × 74 mm, touching": (4, 2, "105", "74", "0", "0.5", "105", "74"),
    "10 to a sheet, 90 × 52 mm, with gaps": (5, 2, "90", "52", "12", "13.5", "96", "54"),
}


def describe(technician: User) -> None:
    for name, (rows, columns, *measures) in SHEETS.items():
        save_label_sheet(by=technician, name=name, described=Sheet(rows, columns, *map(Decimal, measures)))
