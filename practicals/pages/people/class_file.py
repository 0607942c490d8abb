"""Takes the cells out of an uploaded class list. The file itself is read once and not kept."""

from practicals.calculations.class_list import MOST_ROWS, are_headings
from practicals.calculations.table_cells import LARGEST_BYTES, UnreadableFile, Wanted, read_cells

__all__ = ["LARGEST_BYTES", "UnreadableFile", "read_table"]

CLASS_LIST = Wanted("class list", MOST_ROWS, "Export one class at a time.", are_headings)


def read_table(data: bytes) -> list[list[str]]:
    """Rows of cells as text, from a CSV file or an XLSX workbook."""
    return read_cells(data, CLASS_LIST)
