"""Reads workbooks with openpyxl, a reader that is not ours, for tests/system/main.rs.

    read_back.py compare SOURCE GIVEN_BACK     prints what differs and what was added, as JSON
    read_back.py dump FILE                     prints every sheet, as JSON
    read_back.py fields FILE                   prints the fields of a text file parted by semicolons, as JSON
"""

import csv
import json
import sys

import openpyxl
from openpyxl.utils import get_column_letter


def value(cell):
    """A value that JSON can hold; formulas, arrays and dates as text."""
    held = cell.value
    if held is None or isinstance(held, (bool, int, float, str)):
        return held
    return f"{type(held).__name__} {getattr(held, 'text', held)}"


def cells(sheet):
    return {(cell.row, cell.column): cell for row in sheet.iter_rows() for cell in row}


def dress(cell):
    return [cell.style_id, cell.number_format, cell.data_type]


def widths(sheet):
    return {
        name: [size.width, size.hidden, size.min, size.max]
        for name, size in sheet.column_dimensions.items()
    }


def heights(sheet):
    return {
        row: [size.height, size.hidden]
        for row, size in sheet.row_dimensions.items()
        if size.height is not None or size.hidden
    }


def compare(source, given_back):
    differences, added, kept, gained = [], {}, 0, {}
    # Once with formulas, once with the values that were stored for them.
    for stored in (False, True):
        old = openpyxl.load_workbook(source, data_only=stored)
        new = openpyxl.load_workbook(given_back, data_only=stored)
        if old.sheetnames != new.sheetnames[: len(old.sheetnames)]:
            differences.append(["sheets", old.sheetnames, new.sheetnames])
        gained["sheets"] = new.sheetnames[len(old.sheetnames) :]
        for name in old.sheetnames:
            before, after = old[name], new[name]
            was, now = cells(before), cells(after)
            for place, cell in was.items():
                where = f"{name}!{cell.coordinate}"
                other = now.get(place)
                if other is None:
                    differences.append([where, "gone"])
                elif value(cell) != value(other):
                    differences.append([where, value(cell), value(other)])
                elif cell.has_style and dress(cell) != dress(other):
                    differences.append([where, dress(cell), dress(other)])
                else:
                    kept += cell.value is not None
            for what, look in (
                ("merged", lambda sheet: sorted(map(str, sheet.merged_cells.ranges))),
                ("heights", heights),
                ("frozen", lambda sheet: sheet.freeze_panes),
                ("filter", lambda sheet: sheet.auto_filter.ref),
                ("state", lambda sheet: sheet.sheet_state),
                ("validations", lambda sheet: [str(rule.sqref) for rule in sheet.data_validations.dataValidation]),
                ("conditions", lambda sheet: [str(area.sqref) for area in sheet.conditional_formatting]),
                ("comments", lambda sheet: sorted(c.coordinate for c in cells(sheet).values() if c.comment)),
                ("print", lambda sheet: [sheet.print_area, sheet.print_title_rows, sheet.print_title_cols]),
            ):
                if look(before) != look(after) and not look(before) and what in ("frozen", "filter", "comments"):
                    # A sheet that had none may get some; what was there stays.
                    gained.setdefault(name, {})[what] = look(after)
                elif look(before) != look(after):
                    differences.append([name, what, str(look(before)), str(look(after))])
            new_widths = widths(after)
            for column, size in widths(before).items():
                if new_widths.get(column) != size:
                    differences.append([name, "width", column, size, new_widths.get(column)])
            if stored:
                further = {place: cell for place, cell in now.items() if place not in was and cell.value is not None}
                if further:
                    added[name] = {
                        "cells": [[row, column, value(cell)] for (row, column), cell in sorted(further.items())],
                        "last": before.max_column,
                        "widths": {
                            column: after.column_dimensions[get_column_letter(column)].width
                            for _, column in further
                        },
                    }
    return {"differences": differences, "added": added, "kept": kept, "gained": gained}


def dump(file):
    book = openpyxl.load_workbook(file)
    sheets = []
    for sheet in book:
        sheets.append(
            {
                "name": sheet.title,
                "frozen": sheet.freeze_panes,
                "rows": [[value(cell) for cell in row] for row in sheet.iter_rows()],
                "formats": [[cell.number_format for cell in row] for row in sheet.iter_rows()],
                "types": [[cell.data_type for cell in row] for row in sheet.iter_rows()],
                "bold": [[bool(cell.font.b) for cell in row] for row in sheet.iter_rows()],
                "widths": [
                    sheet.column_dimensions[get_column_letter(column)].width
                    for column in range(1, sheet.max_column + 1)
                ],
            }
        )
    return {"sheets": sheets}


def fields(file):
    with open(file, encoding="utf-8-sig", newline="") as text:
        return list(csv.reader(text, delimiter=";"))


print(json.dumps({"compare": compare, "dump": dump, "fields": fields}[sys.argv[1]](*sys.argv[2:]), ensure_ascii=False))
